/* SPDX-License-Identifier: Apache-2.0 */
#include "command.h"
#include "pages.h"
#include "settings.h"

#include <string.h>

/* A word of capitals that stands for a file on this machine. */
static bool means_file(const char *text) {
    return text != NULL &&
           (strstr(text, "FILE") != NULL || strstr(text, "PATH") != NULL || strcmp(text, "DAEMON-KEY") == 0);
}

static void print_option(FILE *script, const char *name, const char *value) {
    fprintf(script, " --%s%s", name, value == NULL ? "" : means_file(value) ? "=FILE" : "=");
}

void completion_tables(FILE *script) {
    fputs("# The commands with their options: NAME for a switch, NAME= for one with a value, NAME=FILE for a "
          "file.\n"
          "declare -gA _ellwand_options=(\n",
          script);
    for (size_t i = 0; i < command_count; i++) {
        const struct command_option *options = command_table[i]->options;
        fprintf(script, "    [\"%s\"]=\"", command_table[i]->name);
        for (int k = 0; options != NULL && options[k].name != NULL; k++)
            print_option(script, options[k].name, options[k].value);
        fputs("\"\n", script);
    }
    fputs(")\n# Those that take files as arguments.\ndeclare -gA _ellwand_files=(\n", script);
    for (size_t i = 0; i < command_count; i++)
        if (means_file(command_table[i]->arguments))
            fprintf(script, "    [\"%s\"]=yes\n", command_table[i]->name);
    fputs(")\n# Those that every command takes.\n_ellwand_common=\"", script);
    for (const struct argp_option *option = settings_argp.options;
         option->name != NULL || option->doc != NULL; option++)
        if (option->name != NULL)
            print_option(script, option->name, option->arg);
    fputs(" --help --usage --version\"\n\n", script);
}
