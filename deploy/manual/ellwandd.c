/* The pages of the daemon. SPDX-License-Identifier: Apache-2.0 */
#include "configuration.h"
#include "daemon_commands.h"
#include "pages.h"
#include "roff.h"

static void page_ellwandd(FILE *page) {
    roff_head(page, "ellwandd", "8", "service of a workshop that makes curtain tracks");
    roff_section(page, "SYNOPSIS");
    roff_text(page, "`ellwandd` [OPTION...] COMMAND [WORDS]");
    roff_section(page, "DESCRIPTION");
    roff_text(
        page,
        "Serves one workshop of a PostgreSQL database to its clients, such as `ellwand`(1): orders, cutting "
        "plans, "
        "stock, kits, labels. PostgreSQL is the only state, so several daemons may serve one workshop.");
    roff_section(page, "COMMANDS");
    for (size_t i = 0; i < daemon_command_count; i++) {
        const struct daemon_command *command = &daemon_commands[i];
        char term[120];
        snprintf(term, sizeof term, "%s %s", command->name, command->arguments);
        roff_entry(page, term, command->meaning);
    }
    roff_section(page, "OPTIONS");
    roff_options(page, daemon_options);
    roff_entry(page, "--help, -?", "The commands and options");
    roff_entry(page, "--version, -V", "The version of this program");
    roff_section(page, "EXIT STATUS");
    roff_text(page, daemon_exits);
    roff_section(page, "SETTING UP");
    roff_text(
        page,
        "Once, on the machine of the database, with a PostgreSQL role that may make databases and roles:");
    roff_literal(page, "createdb ellwand\n"
                       "ellwandd migrate --owner \"dbname=ellwand\"\n"
                       "ellwandd workshop --owner \"dbname=ellwand\" main \"Our workshop\"\n"
                       "createuser --role=ellwand_daemon ellwand");
    roff_paragraph(page, "After an upgrade, stop every daemon of the database, `ellwandd migrate` once more, "
                         "and start them. A "
                         "daemon whose database is older or newer than itself does not start and says so.");
    roff_paragraph(page, "The database is all there is to keep: `pg_dump ellwand` saves it. The key file is "
                         "kept beside it; with a new "
                         "one every client needs the new public half.");
    roff_section(page, "SIGNALS");
    roff_text(page, "After SIGTERM or SIGINT what is being answered is answered, and the daemon ends; a "
                    "second signal ends it at "
                    "once. Nothing is lost either way.");
    roff_section(page, "FILES");
    roff_entry(page, "/etc/ellwand/ellwandd.conf",
               "The configuration that the service unit names, `ellwandd.conf`(5)");
    roff_entry(page, "/etc/ellwand/daemon.key", "The daemon's key, its user's alone (mode 0600)");
    roff_entry(
        page, "/var/lib/ellwand",
        "Where the service unit lets it write: stations that are folders lie below it, or in a folder that a "
        "drop-in of the unit names as ReadWritePaths");
    roff_section(page, "SEE ALSO");
    roff_text(page, "`ellwand`(1), `ellwandd.conf`(5), `systemctl`(1)");
}

static void key_entry(FILE *page, const struct configuration_key *key) {
    char term[200];
    const char *text = key->text != NULL && key->text[0] != '\0' ? key->text : key->example;
    if (!key->is_text)
        snprintf(term, sizeof term, "%s = %d;", key->name, key->number);
    else
        snprintf(term, sizeof term, "%s = \"%s\";", key->name, text != NULL ? text : "");
    roff_entry(page, term, key->meaning);
    if (!key->is_text)
        fprintf(page, "%d to %d.\n", key->least, key->most);
    else if (key->text == NULL)
        fputs("Must be given.\n", page);
}

static void page_daemon_configuration(FILE *page) {
    roff_head(page, "ellwandd.conf", "5", "configuration of the service ellwandd");
    roff_section(page, "DESCRIPTION");
    roff_text(
        page,
        "`ellwandd`(8) reads the file that `--config` names. `ellwandd configuration` prints one to start "
        "from, "
        "`ellwandd check` says whether one is right. A key that is not known, a value of the wrong type or "
        "out of "
        "its bounds is refused with its line. A file that holds a password and that everybody may read is "
        "refused. A line that begins with # is a comment.");
    roff_section(page, "KEYS");
    roff_text(page, "With their default, or an example where there is none:");
    for (size_t i = 0; i < configuration_key_count; i++)
        key_entry(page, &configuration_keys[i]);
    roff_section(page, "SEE ALSO");
    roff_text(page, "`ellwandd`(8)");
}

const struct made_file made_files[] = {
    {"ellwandd.8", page_ellwandd}, {"ellwandd.conf.5", page_daemon_configuration}, {0}};
