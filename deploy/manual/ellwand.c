/* The pages of the command. SPDX-License-Identifier: Apache-2.0 */
#include "command.h"
#include "listing.h"
#include "pages.h"
#include "roff.h"
#include "settings.h"

static void command_entry(FILE *page, const struct command *command) {
    fprintf(page, ".SS ");
    char title[200];
    snprintf(title, sizeof title, "`ellwand %s` [OPTION...] %s", command->name,
             command->arguments != NULL ? command->arguments : "");
    roff_text(page, title);
    char sentence[200];
    snprintf(sentence, sizeof sentence, "%s.", command->summary);
    roff_paragraph(page, sentence);
    if (command->more != NULL)
        roff_paragraph(page, command->more);
    for (int i = 0; command->options != NULL && command->options[i].name != NULL; i++) {
        const struct command_option *option = &command->options[i];
        char term[120];
        snprintf(term, sizeof term, "--%s%s%s", option->name, option->value != NULL ? "=" : "",
                 option->value != NULL ? option->value : "");
        roff_entry(page, term, option->help);
    }
}

/* In the order of --help: whose work it is, then by name. */
static void group_section(FILE *page, enum command_group group) {
    char title[80];
    snprintf(title, sizeof title, "COMMANDS: %s", listing_title(group));
    roff_section(page, title);
    for (size_t i = 0; i < command_count; i++)
        if (command_table[i]->group == group)
            command_entry(page, command_table[i]);
}

static void page_ellwand(FILE *page) {
    roff_head(page, "ellwand", "1", "curtain tracks from the survey to the packed kit");
    roff_section(page, "SYNOPSIS");
    roff_text(page, "`ellwand` COMMAND [OPTION...] [ARGUMENT...]");
    roff_section(page, "DESCRIPTION");
    roff_text(
        page,
        "Asks the daemon of a workshop that makes curtain tracks, `ellwandd`(8), for things: takes orders, "
        "plans "
        "cuts, keeps the stock, picks kits, prints labels. Some commands, such as `takeoff` and `cutlist`, "
        "work on files alone and need no daemon.");
    roff_paragraph(
        page,
        "Each person has a key of their own, made by `ellwand join`, which a manager has let in with one "
        "or more of the roles desk, saw, stores and manager; the role says which commands are taken.");
    roff_paragraph(
        page,
        "Lengths are in mm, or have their unit: 183cm, 1.83m, \"72 1/2 in\". Codes such as P263 or K11K are "
        "what labels say; they may be typed or scanned.");
    roff_section(page, "OPTIONS");
    roff_paragraph(page, "Every command takes:");
    roff_options(page, settings_argp.options);
    roff_entry(page, "--help, -?", "What the command does, and its options");
    roff_entry(page, "--usage", "The same in short");
    roff_entry(page, "--version, -V", "The version of this program");
    for (enum command_group group = GROUP_ANYONE; listing_title(group) != NULL; group++)
        group_section(page, group);
    roff_section(page, "EXIT STATUS");
    roff_text(page, program_exits);
    roff_section(page, "ENVIRONMENT");
    roff_entry(page, "ELLWAND_CONFIG", "The settings file, in the place of the usual one");
    for (size_t i = 0; i < settings_key_count; i++)
        if (settings_keys[i].variable != NULL)
            roff_entry(page, settings_keys[i].variable, settings_keys[i].meaning);
    roff_entry(page, "NO_COLOR", "When set, nothing is coloured");
    roff_section(page, "FILES");
    roff_entry(page, "~/.config/ellwand/client.conf", "The settings, `ellwand-client.conf`(5)");
    roff_section(page, "EXAMPLES");
    roff_paragraph(page,
                   "An invented order worked out, without any daemon; then the first day at the order desk:");
    roff_literal(page, "cd /usr/share/doc/ellwand/examples\n"
                       "ellwand takeoff orders/A1001.json --catalogue catalogue.json\n"
                       "ellwand join tcp://127.0.0.1:5577 daemon.key.public\n"
                       "ellwand order take orders/A1001.json\n"
                       "ellwand order list --open");
    roff_section(page, "CAUTION");
    roff_text(
        page,
        "Saws, ladders, loads and cords can hurt. What this program works out does not judge whether an "
        "installation is safe: local rules, the makers' data and a competent person on site come first.");
    roff_section(page, "SEE ALSO");
    roff_text(page, "`ellwand-client.conf`(5), `ellwandd`(8)");
}

static void page_client_settings(FILE *page) {
    roff_head(page, "ellwand-client.conf", "5", "settings of the command ellwand");
    roff_section(page, "DESCRIPTION");
    roff_text(
        page,
        "`ellwand`(1) reads `~/.config/ellwand/client.conf`, or the same below `$XDG_CONFIG_HOME`, or the "
        "file "
        "that `--config` or `$ELLWAND_CONFIG` names. `ellwand join` makes it. Options of the command line "
        "come before variables of the environment, and these before the file. A line that begins with # is a "
        "comment.");
    roff_section(page, "KEYS");
    for (size_t i = 0; i < settings_key_count; i++) {
        const struct settings_key *key = &settings_keys[i];
        char term[120], text[400];
        snprintf(term, sizeof term, "%s = %s;", key->name, key->example);
        snprintf(text, sizeof text, "%s. Option `--%s`%s%s%s.", key->meaning, key->option,
                 key->variable != NULL ? ", variable `" : "", key->variable != NULL ? key->variable : "",
                 key->variable != NULL ? "`" : "");
        roff_entry(page, term, text);
    }
    roff_section(page, "SEE ALSO");
    roff_text(page, "`ellwand`(1)");
}

const struct made_file made_files[] = {{"ellwand.1", page_ellwand},
                                       {"ellwand-client.conf.5", page_client_settings},
                                       {"completion", completion_tables},
                                       {0}};
