/* flags.h - a command's flags as a table: what each is called, what it fills, what the help says.
 */
#ifndef COMMAND_FLAGS_H
#define COMMAND_FLAGS_H

#include <stddef.h>

enum flag_kind {
    FLAG_ON,    /* fills a bool: true once it was given */
    FLAG_IS,    /* fills a const void *: with `is` */
    FLAG_TEXT,  /* fills a const char *: with what follows; the last one counts */
    FLAG_TEXTS, /* fills a struct flag_texts */
};

enum { FLAG_MOST_TEXTS = 4 };

/* What follows a flag that may be given several times. Those that are too many are left out. */
struct flag_texts {
    const char *text[FLAG_MOST_TEXTS]; /* borrowed from argv */
    int count;
};

struct flag {
    const char *name;  /* without --; NULL ends a table */
    const char *value; /* what follows, as the help names it; NULL = nothing does */
    enum flag_kind kind;
    size_t at; /* offset of what it fills */
    const void *is;
    const char *help; /* may have several lines */
    char letter;      /* it is called -o, too; 0 = it has none */
};

struct flag_command {
    const char *name;          /* "replay" */
    const char *usage;         /* the head of the help, with its last line's end */
    const struct flag *flags;  /* its own, after the common ones */
    const struct flag *common; /* NULL = none */
};

/*
 * Read the flags; --help prints the help.
 *
 *   into       what the table's offsets count from; zeroed or with defaults
 *   ret_first  index in argv of the first word that is no flag; these stand last
 *   returns    0; 1 the help was printed; -EINVAL after complaining
 */
int flags_read(int argc, char **argv, const struct flag_command *command, void *into,
               int *ret_first);

#endif
