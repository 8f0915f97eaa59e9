/* command.h - the subcommands: each takes its own arguments and returns the exit status. */
#ifndef COMMAND_COMMAND_H
#define COMMAND_COMMAND_H

#include <stdio.h>

enum {
    EXIT_DONE = 0,
    EXIT_NOT_DONE = 1, /* the job could not be done */
    EXIT_WRONG = 2,    /* wrong usage or a bad file */
};

/* peakward alone, on a terminal: what is needed is asked for. */
int first_main(void);

int plan_main(int argc, char **argv);
int peak_main(int argc, char **argv);
int replay_main(int argc, char **argv);
int drill_main(int argc, char **argv);
int report_main(int argc, char **argv);
int readings_main(int argc, char **argv);
int anonymise_main(int argc, char **argv);
int check_main(int argc, char **argv);

/* "peakward: what: why: what to do" on standard error. Parts that are NULL are left out. */
void command_complain(const char *what, const char *why, const char *what_to_do);

/* printf to standard output at once, in plain ASCII where the locale has no more. */
void command_say(const char *format, ...) __attribute__((format(printf, 1, 2)));

/* Columns of the terminal that standard output is; 0 = it is none. */
int command_columns(void);

/*
 * The same; on a terminal broken between words where a line ends.
 *
 *   indent  blanks before what goes on in the next line
 *   room    columns that stay free at a line's end
 */
void command_say_wrapped(int indent, int room, const char *format, ...)
    __attribute__((format(printf, 3, 4)));

/* A text of any length, the same way, to any file. */
void command_put(FILE *file, const char *text);

#endif
