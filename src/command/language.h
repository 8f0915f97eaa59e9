/* language.h - which language the program speaks: asked for, or by the environment, or a log's. */
#ifndef COMMAND_LANGUAGE_H
#define COMMAND_LANGUAGE_H

#include "base/tongue.h"

/* What the environment says of language; a variable that is not set is NULL. */
struct language_wishes {
    const char *language; /* LANGUAGE: "de_AT:de:en" */
    const char *lc_all, *lc_messages, *lang;
};

enum { LANGUAGE_WISHES_SIZE = 256 };

/*
 * The languages wished for, the dearest first, with ':' between: as gettext has it (its manual,
 * "The LANGUAGE variable"), each without its codeset, and a language itself behind that of a
 * country.
 * "" = English: where the locale is C or POSIX, LANGUAGE does not count. Pure.
 */
void language_wished(const struct language_wishes *wishes, char ret_list[LANGUAGE_WISHES_SIZE]);

/*
 * Characters as the environment says. A locale that is not installed here still tells what the
 * terminal can show: where it names UTF-8, that is what is used.
 */
void language_set_characters(void);

/* The first language of the environment's that there is a catalogue of, else English. */
void language_from_environment(void);

/* The one that --language asks for: 0, or -EINVAL after complaining. It outlasts a log's. */
int language_ask(const char *name);

/*
 * A log is read again: its language, so that it says what was said live. Where there is no such
 * catalogue here, or where another one was asked for, it stays as it is.
 *
 *   name     as the log's first line has it; "" = English
 */
void language_of_log(const char *name);

/*
 * A log is gone on with: its language whatever was asked for, or what is said from now on would not
 * be said again by a replay. 0, or -EINVAL after complaining that there is no such catalogue here.
 */
int language_to_go_on(const char *name);

#endif
