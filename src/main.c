/* main.c - names the subcommands, nothing else. */
#include <locale.h>
#include <stdio.h>
#include <string.h>
#include <unistd.h>

#include "command/command.h"
#include "command/language.h"

static const struct {
    const char *name, *help;
    int (*main)(int argc, char **argv);
} commands[] = {
    {"plan", "where the satellite stands, seen from the site", plan_main},
    {"peak", "point the antenna, step by step", peak_main},
    {"replay", "a recorded session again", replay_main},
    {"drill", "practise on a simulated mount", drill_main},
    {"report", "the pointing record of a session, to be handed over", report_main},
    {"check", "what works here and what is missing", check_main},
};

static void help(FILE *file)
{
    fprintf(file, "usage: peakward COMMAND [OPTION]...\n"
                  "Stand by a technician who points a satellite antenna.\n\n");
    for (size_t i = 0; i < sizeof commands / sizeof *commands; i++) {
        fprintf(file, "  %-8s %s\n", commands[i].name, commands[i].help);
    }
    fprintf(file, "\npeakward COMMAND --help says more; so does man peakward.\n");
}

int main(int argc, char **argv)
{
    setlocale(LC_CTYPE, ""); /* never LC_NUMERIC: files and meters write 12.5 */
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
        command_complain(argv[1], "no such command", "see peakward --help");
    } else {
        help(stderr);
    }
    return EXIT_WRONG;
}
