/*
 * tongue.h - the language that is spoken, and words in it, through gettext.
 *
 * One for the whole process: chosen at the start, or by the log that is read again, before the
 * first word is said (command/language.h). From then on the same words always give the same words:
 * what gettext looks up in the environment is what tongue_choose() has put there. A word without a
 * translation stays English, and where English is spoken nothing is looked up at all.
 *
 * Not for words that are an interface: keys of files and of JSON, names of steps, moves and axes in
 * a record, the words that the operator types.
 */
#ifndef BASE_TONGUE_H
#define BASE_TONGUE_H

#include <stdbool.h>
#include <stddef.h>

enum { TONGUE_NAME_SIZE = 16 };

/*
 * Speak a language from now on.
 *
 *   language  "en", or one with a catalogue, such as "de" or "pt_BR"
 *   folder    holds LANGUAGE/LC_MESSAGES/peakward.mo
 *   returns   0; -EINVAL no name of a language; -ENOENT no catalogue of it; -ENOSYS the C library
 *             has no locale with UTF-8 in it. After an error the language is what it was.
 */
int tongue_choose(const char *language, const char *folder);

/* The language that is spoken: "en" to begin with. */
const char *tongue_name(void);

/*
 * English words in the language that is spoken; "" stays "".
 *
 *   context  tells words apart that are the same in English only, such as "up" (of a source)
 *   count    of what the words are about: one = 1, many = any other number in English
 */
const char *tongue_say(const char *english) __attribute__((format_arg(1)));
const char *tongue_say_in(const char *context, const char *english) __attribute__((format_arg(2)));
const char *tongue_say_count(const char *one, const char *many, unsigned long count)
    __attribute__((format_arg(1), format_arg(2)));

/*
 * One more word of a list: "V", then "V, H", then "V, H or circular".
 *
 *   list  "" before the first word; what does not fit is cut
 *   last  of the list
 */
void tongue_list(char *list, size_t size, const char *word, bool last);

/* The short names that xgettext knows. N_() only marks words in a table. */
#define _(english) tongue_say(english)
#define N_(english) english

#endif
