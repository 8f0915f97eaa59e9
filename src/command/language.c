#include "command/language.h"

#include <errno.h>
#include <locale.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "base/text.h"
#include "command/command.h"

static bool asked_for;

/* --- what the environment says -------------------------------------------------------------- */

static void add(char *list, const char *name, size_t n)
{
    text_append(list, LANGUAGE_WISHES_SIZE, "%s%.*s", list[0] ? ":" : "", (int)n, name);
}

/* "de_AT.UTF-8@euro": de_AT, then de. */
static void add_locale(char *list, const char *locale, size_t n)
{
    size_t whole = 0, plain = 0;

    while (whole < n && locale[whole] != '.' && locale[whole] != '@') {
        plain += plain == whole && locale[whole] != '_';
        whole++;
    }
    if (whole > 0) {
        add(list, locale, whole);
    }
    if (plain > 0 && plain < whole) {
        add(list, locale, plain);
    }
}

static bool is_set(const char *value)
{
    return value && value[0] != '\0';
}

void language_wished(const struct language_wishes *wishes, char ret_list[LANGUAGE_WISHES_SIZE])
{
    const char *locale = is_set(wishes->lc_all)        ? wishes->lc_all
                         : is_set(wishes->lc_messages) ? wishes->lc_messages
                         : is_set(wishes->lang)        ? wishes->lang
                                                       : "C";

    ret_list[0] = '\0';
    if (strcmp(locale, "C") == 0 || strcmp(locale, "POSIX") == 0) {
        return;
    }
    if (!is_set(wishes->language)) {
        add_locale(ret_list, locale, strlen(locale));
        return;
    }
    for (const char *next = wishes->language; *next;) {
        size_t n = strcspn(next, ":");
        add_locale(ret_list, next, n);
        next += n + (next[n] == ':');
    }
}

/* --- where the catalogues are --------------------------------------------------------------- */

/* Beside a build that is not installed, else where they are installed. */
static int choose(const char *name)
{
    char folder[512];
    ssize_t n = readlink("/proc/self/exe", folder, sizeof folder - 32);
    char *slash;

    if (n > 0) {
        folder[n] = '\0';
        slash = strrchr(folder, '/');
        text_copy(slash ? slash : folder, 32, "/po");
        if (tongue_choose(name, folder) == 0) {
            return 0;
        }
    }
    return tongue_choose(name, LOCALEDIR);
}

void language_set_characters(void)
{
    const char *const names[] = {getenv("LC_ALL"), getenv("LC_CTYPE"), getenv("LANG")};
    size_t i = 0;

    if (setlocale(LC_CTYPE, "")) { /* never LC_NUMERIC: files and meters write 12.5 */
        return;
    }
    while (i < 2 && !is_set(names[i])) {
        i++;
    }
    if (is_set(names[i]) && (strcasestr(names[i], "UTF-8") || strcasestr(names[i], "UTF8"))) {
        setlocale(LC_CTYPE, "C.UTF-8");
    }
}

void language_from_environment(void)
{
    struct language_wishes wishes = {.language = getenv("LANGUAGE"),
                                     .lc_all = getenv("LC_ALL"),
                                     .lc_messages = getenv("LC_MESSAGES"),
                                     .lang = getenv("LANG")};
    char list[LANGUAGE_WISHES_SIZE], *rest = list, *name;

    language_wished(&wishes, list);
    while ((name = strsep(&rest, ":")) != NULL) {
        if (choose(name) == 0) {
            return;
        }
    }
}

/* --- what was asked for --------------------------------------------------------------------- */

int language_ask(const char *name)
{
    if (choose(name) < 0) {
        command_complain(name, _("no words in this language here"),
                         _("name one that there is a catalogue of: en, de"));
        return -EINVAL;
    }
    asked_for = true;
    return 0;
}

void language_of_log(const char *name)
{
    if (!asked_for && choose(name[0] ? name : "en") < 0) {
        command_complain(name, _("the log is in this language, which is not known here"),
                         _("its sentences follow in another one"));
    }
}

int language_to_go_on(const char *name)
{
    if (choose(name[0] ? name : "en") < 0) {
        command_complain(name, _("the log is in this language, which is not known here"),
                         _("go on where its words are installed, or begin a new log"));
        return -EINVAL;
    }
    return 0;
}
