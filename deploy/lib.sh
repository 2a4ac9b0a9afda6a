# shellcheck shell=bash
# SPDX-License-Identifier: Apache-2.0
# The functions that deploy/build, deploy/check, deploy/demo and deploy/with-services share. Sourced, never run.
set -euo pipefail

DEPLOY_DIR=$(cd "$(dirname "${BASH_SOURCE[0]}")" && pwd)
CHECKOUT=$(dirname "$DEPLOY_DIR")
export DEPLOY_DIR CHECKOUT
# Settings that the caller's shell still holds, of a demonstration that is gone perhaps, would reach the ones started here.
unset ELLWAND_CONFIG

# shellcheck source=deploy/lib/say.sh
. "$DEPLOY_DIR/lib/say.sh"
# shellcheck source=deploy/lib/process.sh
. "$DEPLOY_DIR/lib/process.sh"
# shellcheck source=deploy/lib/packages.sh
. "$DEPLOY_DIR/lib/packages.sh"
# shellcheck source=deploy/lib/build.sh
. "$DEPLOY_DIR/lib/build.sh"
# shellcheck source=deploy/lib/services.sh
. "$DEPLOY_DIR/lib/services.sh"
