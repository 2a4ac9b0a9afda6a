# shellcheck shell=bash
# SPDX-License-Identifier: Apache-2.0
# The steps of deploy/demo: an invented workshop from the empty database to dispatched orders, done as its people would,
# with the command `ellwand`, each person with a key of their own.

PROGRAMS=$CHECKOUT/build/release
DEMO_DATA=$CHECKOUT/sql/demo
DEMO_OUTPUT=$CHECKOUT/build/demo
DEMO_PEOPLE=(desk saw stores manager)

# as PERSON COMMAND...: one command of that person; what goes wrong ends the demonstration.
as() {
    local person=$1
    shift
    "$PROGRAMS/ellwand" "--config=$SERVICES_DIR/demo/$person.conf" "$@"
}

# quiet_as PERSON COMMAND...: the same, its output only in the log.
quiet_as() {
    as "$@" >>"$SERVICES_DIR/log/demo.log" 2>&1 || fail "ellwand ${*:2} failed." "$SERVICES_DIR/log/demo.log"
}

# field FILTER: reads JSON, prints what the jq filter finds, one a line.
field() {
    jq -r "$1"
}

# ---- the workshop

demo_database() {
    local owner="host=$PGHOST port=$PGPORT user=$PGUSER dbname=$PGDATABASE" log=$SERVICES_DIR/log/migrate.log
    mkdir -m 700 "$SERVICES_DIR/demo"
    quietly "$log" "Making the schema" "$PROGRAMS/ellwandd" migrate --owner "$owner"
    quietly "$log" "Making the workshop" "$PROGRAMS/ellwandd" workshop --owner "$owner" demo "Invented workshop"
    psql -qX -c 'create role ellwand_demo login in role ellwand_daemon'
}

# A key for the daemon and one for each person, whose name is its role. The first manager is let in with the rights of
# the database's owner; the manager lets in the others once the daemon runs. A key may begin with '-': hence "--".
demo_keys() {
    local folder=$SERVICES_DIR/demo person
    for person in daemon "${DEMO_PEOPLE[@]}"; do
        quietly "$SERVICES_DIR/log/keys.log" "Making the key of $person" \
            "$PROGRAMS/ellwand" key new "$person" --out "$folder/$person.key"
        [ "$person" = daemon ] || cat >"$folder/$person.conf" <<SETTINGS
server = "ipc://$folder/requests";
server_key = "$folder/daemon.key.public";
key = "$folder/$person.key";
SETTINGS
    done
    quietly "$SERVICES_DIR/log/keys.log" "Letting the manager in" "$PROGRAMS/ellwandd" key \
        --owner "host=$PGHOST port=$PGPORT user=$PGUSER dbname=$PGDATABASE" -- demo manager \
        "$(sed -n 's/^public //p' "$folder/manager.key.public")" manager
}

demo_daemon() {
    local folder=$SERVICES_DIR/demo
    cat >"$folder/ellwandd.conf" <<CONFIGURATION
database = "host=$PGHOST port=$PGPORT user=ellwand_demo dbname=$PGDATABASE";
workshop = "demo";
listen = "ipc://$folder/requests";
events = "ipc://$folder/events";
key_file = "$folder/daemon.key";
cups_server = "$CUPS_SERVER";
CONFIGURATION
    process_launch "$SERVICES_DIR/ellwandd.pid" "$SERVICES_DIR/log/ellwandd.log" \
        "$PROGRAMS/ellwandd" run --config "$folder/ellwandd.conf"
    wait_until 15 as manager ping || fail "ellwandd did not answer within 15 s." "$SERVICES_DIR/log/ellwandd.log"
    local person
    for person in desk saw stores; do
        quiet_as manager key add --roles "$person" -- "$person" "$(sed -n 's/^public //p' "$folder/$person.key.public")"
    done
}

demo_load() {
    quiet_as manager catalogue import "$DEMO_DATA/catalogue.json"
    quiet_as manager bin set --file "$DEMO_DATA/bins.json"
    # What bench/workshop found best over 250 days (DEVELOPERS.md): shorter remainders only lie about.
    quiet_as manager workshop set --usable-remainder 1200 --value-percent 80
    quiet_as stores stock receive --file "$DEMO_DATA/stock.json"
    quiet_as saw rack load "$DEMO_DATA/rack.json"
    # Stations come last: what lay there before has its labels already.
    local station
    while read -r station; do
        quiet_as manager station set "$(field .station <<<"$station")" --queue "$LABEL_QUEUE" \
            --stock "$(field .stock <<<"$station")" --kinds "$(field '.kinds | join(",")' <<<"$station")"
    done < <(jq -c '.[]' "$DEMO_DATA/stations.json")
}

# ---- the job

demo_orders() {
    as desk order take "$DEMO_DATA"/orders/*.json | grep ' taken: '
}

demo_plans() {
    as saw plan make --saw BENCH --time-limit 5 --json >"$DEMO_OUTPUT/plans.json"
    mapfile -t plans < <(as saw plan list --json | field '.plans[] | select(.state == "ready") | .plan' | sort -n)
    [ "${#plans[@]}" -gt 0 ] || fail "No plan became ready." "$SERVICES_DIR/log/ellwandd.log"
    local plan
    for plan in "${plans[@]}"; do
        as saw plan show "$plan" | sed '/^bar  *place/,$d'
    done
}

demo_labels_done() {
    [ "$(as manager print list --json | jq '[.jobs[] | select(.state != "printed" and .state != "cancelled")] | length')" = 0 ]
}

demo_release() {
    local plan
    for plan in "${plans[@]}"; do
        as saw plan release "$plan" | grep -v '^ *$'
    done
    for plan in "${plans[@]}"; do
        quiet_as saw plan sheet "$plan" --out "$DEMO_OUTPUT/cut-sheet-$plan.pdf"
    done
    wait_until 45 demo_labels_done || fail "Not every label came out within 45 s." "$SERVICES_DIR/log/ellwandd.log"
}

# Every bar is cut; what can be used again goes to a free place of the rack. The first that leaves an offcut is found
# 1.5 mm shorter than planned, as happens.
demo_cuts() {
    local plan bar remainder returns measured="" place=0
    for plan in "${plans[@]}"; do
        while read -r bar remainder returns; do
            if [ "$returns" != true ]; then
                quiet_as saw bar cut "$bar"
                continue
            fi
            place=$((place + 1))
            if [ -z "$measured" ]; then
                measured=$(awk -v planned="$remainder" 'BEGIN { printf "%.1f", planned - 1.5 }')
                say "$bar: $remainder mm should be left, $measured mm were measured (ellwand bench, by scanner):"
                # As the saw does it, by scanner: the bar, where its rest goes, what was measured.
                printf '%s\n' "$bar" "place rack 5-$place" "$measured" | as saw bench
            else
                quiet_as saw bar cut "$bar" --place "rack 5-$place"
            fi
        done < <(as saw plan show "$plan" --json | field '.bars[] | "\(.code) \(.remainder) \(.returns)"')
    done
    as saw rack list --json | field '.bars | map(select(.kind == "offcut"))
        | "\(length) offcuts lie on the rack now, \(map(.length) | add / 1000 * 10 | round / 10) m"'
}

# demo_kit KIT: every line picked from its bin, every piece matched, the kit closed, by command.
demo_kit() {
    local kit=$1 part bin quantity
    while read -r part bin quantity; do
        quiet_as stores kit pick "$kit" "$part" "$bin" "$quantity"
    done < <(as stores kit show "$kit" --json | field '.walk[] | "\(.part) \(.bin) \(.quantity)"')
    mapfile -t pieces < <(as stores kit show "$kit" --json | field '.kits[0].pieces[].code')
    quiet_as stores kit match "$kit" "${pieces[@]}"
    quiet_as stores kit pack "$kit"
}

# demo_scanned KIT: the same by scanner: the kit, each bin and the kit, each piece, and the control code of DONE.
demo_scanned() {
    local kit=$1
    as stores kit show "$kit" --json |
        field '.kits[0].kit, (.stops[] | .code, .split[0].kit), .kits[0].pieces[].code, "X1F"' |
        as stores bench | grep '^Done: '
}

demo_kits() {
    local order=$1 kit
    as stores kit show "$order/R1" --walk
    quiet_as stores kit show "$order/R1" "$order/R2" "$order/R3" --sheet "$DEMO_OUTPUT/pick-list.pdf"
    say
    say "One kit is picked, matched and packed by scanner (ellwand bench), the others by command:"
    mapfile -t kits < <(as stores kit list --json | field ".kits[] | select(.order == \"$order\") | .kit")
    demo_scanned "${kits[0]}"
    for kit in "${kits[@]:1}"; do
        demo_kit "$kit"
    done
    as stores kit list | sed -n "1p; / $order /p"
}

# A short part comes in: the kit that waited for it has it reserved at once.
demo_short() {
    local part bin quantity
    as stores stock list --short
    while read -r part bin quantity; do
        as stores stock receive "$part" "$bin" "$quantity" --reason "delivery note 77, invented"
    done < <(as stores stock list --short --json | field '.parts[] | "\(.part) \(.bins[0].bin) \(.short)"')
    as stores stock list --short
    say
    as manager reorder
}

demo_papers() {
    local order
    mkdir -p "$DEMO_OUTPUT/labels"
    for order in "$DEMO_DATA"/orders/*.json; do
        order=$(basename "$order" .json)
        quiet_as desk sheet "$order" --out "$DEMO_OUTPUT/fitting-$order.pdf"
    done
    local file
    for file in "$SERVICES_DIR"/printer/out/*.prn; do
        cp "$file" "$DEMO_OUTPUT/labels/$(basename "${file%.prn}").pdf"
    done
}
