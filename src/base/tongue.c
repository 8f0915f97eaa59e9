#include "base/tongue.h"

#include <errno.h>
#include <libintl.h>
#include <locale.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "base/text.h"

static const char domain[] = "peakward";
static const char english_name[] = "en";
/* What joins context and words in a catalogue (gettext's manual, "MO Files"). */
static const char joint = '\004';
enum { KEY_SIZE = 512, FOLDER_SIZE = 512 };

static struct {
    bool translates;
    char name[TONGUE_NAME_SIZE];
} spoken = {.name = "en"};

/* ll or ll_CC: nothing that leads out of a folder. */
static bool is_name(const char *language)
{
    static const char letters[] = "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ_";
    size_t n = strspn(language, letters);

    return n >= 2 && n < TONGUE_NAME_SIZE && language[n] == '\0';
}

int tongue_choose(const char *language, const char *folder)
{
    char path[FOLDER_SIZE + 64];

    if (strcmp(language, english_name) == 0) {
        spoken.translates = false;
        text_copy(spoken.name, sizeof spoken.name, language);
        return 0;
    }
    if (!is_name(language)) {
        return -EINVAL;
    }
    snprintf(path, sizeof path, "%s/%s/LC_MESSAGES/%s.mo", folder, language, domain);
    if (access(path, R_OK) != 0) {
        return -ENOENT;
    }
    /* gettext translates in any locale but C, and then LANGUAGE alone says into what: the user's
     * own locale need not be there on this machine */
    if (!setlocale(LC_MESSAGES, "C.UTF-8") && !setlocale(LC_MESSAGES, "en_US.UTF-8")) {
        return -ENOSYS;
    }
    if (setenv("LANGUAGE", language, 1) < 0 || !bindtextdomain(domain, folder) ||
        !bind_textdomain_codeset(domain, "UTF-8")) {
        return -errno;
    }
    spoken.translates = true;
    text_copy(spoken.name, sizeof spoken.name, language);
    return 0;
}

const char *tongue_name(void)
{
    return spoken.name;
}

const char *tongue_say(const char *english)
{
    /* the empty word is the catalogue's own header */
    return spoken.translates && english[0] != '\0' ? dgettext(domain, english) : english;
}

const char *tongue_say_in(const char *context, const char *english)
{
    char key[KEY_SIZE];
    const char *said;

    if (!spoken.translates) {
        return english;
    }
    snprintf(key, sizeof key, "%s%c%s", context, joint, english);
    said = dgettext(domain, key);
    return said == key ? english : said;
}

const char *tongue_say_count(const char *one, const char *many, unsigned long count)
{
    if (!spoken.translates) {
        return count == 1 ? one : many;
    }
    return dngettext(domain, one, many, count);
}

void tongue_list(char *list, size_t size, const char *word, bool last)
{
    /* TRANSLATORS: before the last word of a list: "V, H or circular" */
    const char *between = last ? _(" or ") : ", ";

    text_append(list, size, "%s%s", list[0] ? between : "", word);
}
