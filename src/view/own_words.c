#include "view/own_words.h"

#include <stddef.h>
#include <string.h>
#include <strings.h>

static const char blanks[] = " \t\r\n";

enum own_word own_word_find(const char *line)
{
    static const char *const words[] = {
        [OWN_WORD_NOW] = "now", [OWN_WORD_TONE] = "tone", [OWN_WORD_ALOUD] = "aloud"};
    const char *word = line + strspn(line, blanks);
    size_t size = strcspn(word, blanks);

    for (size_t i = OWN_WORD_NOW; i < sizeof words / sizeof *words; i++) {
        if (strlen(words[i]) == size && strncasecmp(word, words[i], size) == 0 &&
            word[size + strspn(word + size, blanks)] == '\0') {
            return (enum own_word)i;
        }
    }
    return OWN_WORD_NONE;
}
