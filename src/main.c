/* main.c - names the subcommands, nothing else. */
#include <stdio.h>
#include <string.h>
#include <unistd.h>

#include "base/text.h"
#include "base/tongue.h"
#include "command/command.h"
#include "command/language.h"

static const struct {
    const char *name, *help;
    int (*main)(int argc, char **argv);
} commands[] = {
    {"plan", N_("where the satellite stands, seen from the site"), plan_main},
    {"peak", N_("point the antenna, step by step"), peak_main},
    {"replay", N_("a recorded session again"), replay_main},
    {"drill", N_("practise on a simulated mount"), drill_main},
    {"report", N_("the pointing record of a session, to be handed over"), report_main},
    {"readings", N_("what was measured in a session, as a table"), readings_main},
    {"anonymise", N_("a copy of a log for teaching, elsewhere and without names"), anonymise_main},
    {"check", N_("what works here and what is missing"), check_main},
};

enum { HELP_SIZE = 4096 };

static void help(FILE *file)
{
    char text[HELP_SIZE] = "";

    text_append(text, sizeof text, "%s",
                _("usage: peakward [--language CODE] COMMAND [OPTION]...\n"
                  "Stand by a technician who points a satellite antenna.\n\n"));
    for (size_t i = 0; i < sizeof commands / sizeof *commands; i++) {
        text_append(text, sizeof text, "  %-9s %s\n", commands[i].name, _(commands[i].help));
    }
    text_append(text, sizeof text, "%s",
                _("\npeakward COMMAND --help says more; so does man peakward.\n"));
    command_put(file, text);
}

int main(int argc, char **argv)
{
    language_set_characters();
    language_from_environment();
    if (argc >= 2 && strcmp(argv[1], "--language") == 0) {
        if (argc < 3) {
            command_complain(argv[1], _("the value is missing"), _("give it behind the flag"));
            return EXIT_WRONG;
        }
        if (language_ask(argv[2]) < 0) {
            return EXIT_WRONG;
        }
        argc -= 2;
        argv += 2;
    }
    if (argc >= 2 && (strcmp(argv[1], "--help") == 0 || strcmp(argv[1], "-h") == 0)) {
        help(stdout);
        return EXIT_DONE;
    }
    if (argc >= 2 && strcmp(argv[1], "--version") == 0) {
        printf("peakward %s\n", PEAKWARD_VERSION);
        return EXIT_DONE;
    }
    for (size_t i = 0; argc >= 2 && i < sizeof commands / sizeof *commands; i++) {
        if (strcmp(argv[1], commands[i].name) == 0) {
            return commands[i].main(argc - 1, argv + 1);
        }
    }
    if (argc == 1 && isatty(STDIN_FILENO) && isatty(STDOUT_FILENO)) {
        return first_main();
    }
    if (argc >= 2) {
        command_complain(argv[1], _("no such command"), _("see peakward --help"));
    } else {
        help(stderr);
    }
    return EXIT_WRONG;
}
