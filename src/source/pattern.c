#include "source/pattern.h"

#include <errno.h>
#include <string.h>
#include <stdbool.h>

#include "base/text.h"
#include "base/tongue.h"

static const struct {
    const char *name;
    enum pattern_op op;
    bool once;      /* at most once in an alternative */
    int most_words; /* arguments after the name */
} field_table[PATTERN_FIELD_COUNT] = {
    [PATTERN_FIELD_LEVEL] = {"level", PATTERN_NUMBER, true, 0},
    [PATTERN_FIELD_LOCK] = {"lock", PATTERN_WORD, true, 16},
    [PATTERN_FIELD_ID] = {"id", PATTERN_WORD, true, 0},
    [PATTERN_FIELD_AZIMUTH] = {"azimuth", PATTERN_NUMBER, true, 0},
    [PATTERN_FIELD_COMPASS] = {"compass", PATTERN_NUMBER, true, 0},
    [PATTERN_FIELD_ELEVATION] = {"elevation", PATTERN_NUMBER, true, 0},
    [PATTERN_FIELD_SKEW] = {"skew", PATTERN_NUMBER, true, 0},
    [PATTERN_FIELD_AUX] = {"aux", PATTERN_NUMBER, false, 2},
    [PATTERN_FIELD_IGNORED_NUMBER] = {"number", PATTERN_NUMBER, false, 0},
    [PATTERN_FIELD_IGNORED_WORD] = {"word", PATTERN_WORD, false, 0},
    [PATTERN_FIELD_SKIP] = {"skip", PATTERN_SKIP, false, 0},
};

struct compiler {
    struct pattern *pattern;
    size_t used; /* bytes of pattern->text */
    const char *at;
    const char *blame; /* where the error is */
    char *why;
    int option; /* index of the open [, or -1 */
    const char *option_at;
    unsigned seen; /* fields in this alternative, a bit each */
    int aux_count;
    bool any_field;
};

static int fail(struct compiler *c, const char *at, const char *phrase)
{
    c->blame = at;
    text_copy(c->why, RECORD_TEXT_SIZE, phrase);
    return -EINVAL;
}

static struct pattern_element *last_element(struct compiler *c)
{
    struct pattern *pattern = c->pattern;

    return pattern->count > 0 ? &pattern->elements[pattern->count - 1] : NULL;
}

static int add_element(struct compiler *c, enum pattern_op op, enum pattern_field field)
{
    struct pattern *pattern = c->pattern;

    if (pattern->count == PATTERN_ELEMENTS) {
        return fail(c, c->at, _("the pattern has too many parts"));
    }
    pattern->elements[pattern->count++] =
        (struct pattern_element){.op = op, .field = field, .start = c->used};
    return 0;
}

/* What is stored is never longer than what is compiled, so it fits. */
static int add_text(struct compiler *c, char byte)
{
    struct pattern_element *last = last_element(c);

    /* an option's inside must stay its own */
    bool joins = last && last->op == PATTERN_TEXT && c->at != c->option_at;
    if (!joins && add_element(c, PATTERN_TEXT, PATTERN_NO_FIELD) < 0) {
        return -EINVAL;
    }
    c->pattern->text[c->used++] = byte;
    last_element(c)->length++;
    return 0;
}

static int add_blank(struct compiler *c)
{
    c->at = text_skip_blanks(c->at);
    return add_element(c, PATTERN_BLANK, PATTERN_NO_FIELD);
}

/* The next word of a field's inside: its length, 0 at the closing brace or the end. */
static size_t field_word(const char **at)
{
    const char *start;

    *at = text_skip_blanks(*at);
    start = *at;
    while (**at && **at != '}' && !text_is_blank(**at)) {
        (*at)++;
    }
    return (size_t)(*at - start);
}

static enum pattern_field find_field(const char *name, size_t length)
{
    for (int i = 0; i < PATTERN_FIELD_COUNT; i++) {
        if (strlen(field_table[i].name) == length &&
            memcmp(field_table[i].name, name, length) == 0) {
            return (enum pattern_field)i;
        }
    }
    return PATTERN_NO_FIELD;
}

static int unknown_field(struct compiler *c, const char *at, size_t length)
{
    char name[24];

    text_sanitize(name, sizeof name, at, length);
    fail(c, at, "");
    text_append(c->why, RECORD_TEXT_SIZE, _("unknown field {%s}: it can be"), name);
    for (int i = 0; i < PATTERN_FIELD_COUNT; i++) {
        text_append(c->why, RECORD_TEXT_SIZE, " %s", field_table[i].name);
    }
    return -EINVAL;
}

static int check_field(struct compiler *c, const char *at, enum pattern_field field)
{
    const struct pattern_element *last = last_element(c);
    unsigned bit = 1u << field;

    if (field_table[field].once && (c->seen & bit)) {
        return fail(c, at, _("this field is already there"));
    }
    if (field == PATTERN_FIELD_AUX && ++c->aux_count > PATTERN_AUX) {
        return fail(c, at, _("too many {aux} fields: 4 at most"));
    }
    if (field == PATTERN_FIELD_SKIP && c->option >= 0) {
        return fail(c, at, _("{skip} can't stand between [ and ]"));
    }
    if (field == PATTERN_FIELD_SKIP && last && last->op == PATTERN_SKIP) {
        return fail(c, at, _("a {skip} right after another has nothing to find"));
    }
    c->seen |= bit;
    if ((c->seen & 1u << PATTERN_FIELD_AZIMUTH) && (c->seen & 1u << PATTERN_FIELD_COMPASS)) {
        return fail(c, at, _("{azimuth} and {compass} are both the azimuth: take one"));
    }
    c->any_field = c->any_field || (field <= PATTERN_FIELD_AUX && field != PATTERN_FIELD_ID);
    return 0;
}

/* {NAME ARGUMENT ...}; at is behind the opening brace */
static int add_field(struct compiler *c)
{
    const char *name;
    size_t length = field_word(&c->at);
    enum pattern_field field;
    int words = 0;

    name = c->at - length;
    field = find_field(name, length);
    if (field == PATTERN_NO_FIELD) {
        return unknown_field(c, name, length);
    }
    if (check_field(c, name, field) < 0 || add_element(c, field_table[field].op, field) < 0) {
        return -EINVAL;
    }
    while ((length = field_word(&c->at)) > 0) {
        if (words++ == field_table[field].most_words) {
            return fail(c, c->at - length, _("this field takes no more words"));
        }
        memcpy(c->pattern->text + c->used, c->at - length, length);
        c->used += length;
        c->pattern->text[c->used++] = ' ';
    }
    if (*c->at != '}') {
        return fail(c, name - 1, _("this { has no }"));
    }
    c->at++;
    if (field == PATTERN_FIELD_AUX && words == 0) {
        return fail(c, name, _("{aux} needs a name: {aux temperature C}"));
    }
    last_element(c)->length = c->used - last_element(c)->start;
    return 0;
}

static int end_alternative(struct compiler *c)
{
    if (c->option >= 0) {
        return fail(c, c->option_at - 1, _("this [ has no ]"));
    }
    if ((c->seen & 1u << PATTERN_FIELD_ID) && !(c->seen & 1u << PATTERN_FIELD_LOCK)) {
        return fail(c, c->at, _("{id} needs {lock} beside it"));
    }
    if (c->pattern->count == 0 || last_element(c)->op == PATTERN_OR) {
        return fail(c, c->at, _("an alternative is empty"));
    }
    c->seen = 0;
    c->aux_count = 0;
    return 0;
}

static int open_option(struct compiler *c)
{
    if (c->option >= 0) {
        return fail(c, c->at - 1, _("a [ inside [ ] is not known"));
    }
    c->option = (int)c->pattern->count;
    c->option_at = c->at;
    return add_element(c, PATTERN_OPTION, PATTERN_NO_FIELD);
}

static int close_option(struct compiler *c)
{
    if (c->option < 0) {
        return fail(c, c->at - 1, _("this ] has no ["));
    }
    c->pattern->elements[c->option].length = c->pattern->count - (size_t)c->option - 1;
    if (c->pattern->elements[c->option].length == 0) {
        return fail(c, c->at - 1, _("nothing stands between [ and ]"));
    }
    c->option = -1;
    c->option_at = c->at; /* text behind it is not part of it */
    return 0;
}

static int compile_next(struct compiler *c)
{
    char byte = *c->at;

    if (text_is_blank(byte)) {
        return add_blank(c);
    }
    switch (byte) {
    case '{':
        c->at++;
        return add_field(c);
    case '[':
        c->at++;
        return open_option(c);
    case ']':
        c->at++;
        return close_option(c);
    case '|':
        if (end_alternative(c) < 0) {
            return -EINVAL;
        }
        c->at = text_skip_blanks(c->at + 1);
        return add_element(c, PATTERN_OR, PATTERN_NO_FIELD);
    case '}':
        return fail(c, c->at, _("this } has no {; a brace that is meant is written \\}"));
    case '\\':
        if (!c->at[1] || !strchr("{}[]|\\ \t", c->at[1])) {
            return fail(c, c->at, _("a \\ stands before one of { } [ ] | \\ or a blank"));
        }
        if (add_text(c, c->at[1]) < 0) {
            return -EINVAL;
        }
        c->at += 2;
        return 0;
    default:
        if (add_text(c, byte) < 0) {
            return -EINVAL;
        }
        c->at++;
        return 0;
    }
}

int pattern_compile(struct pattern *ret_pattern, const char *text, size_t *ret_position,
                    char why[RECORD_TEXT_SIZE])
{
    struct compiler c = {
        .pattern = ret_pattern, .at = text_skip_blanks(text), .why = why, .option = -1};
    int r = 0;

    *ret_pattern = (struct pattern){.count = 0};
    if (strlen(text) >= PATTERN_TEXT_SIZE) {
        *ret_position = PATTERN_TEXT_SIZE - 1;
        text_copy(why, RECORD_TEXT_SIZE, _("the pattern is too long"));
        return -ENOSPC;
    }
    while (r == 0 && *c.at) {
        r = compile_next(&c);
    }
    if (r == 0) {
        r = end_alternative(&c);
    }
    if (r == 0 && !c.any_field) {
        r = fail(&c, text, _("the pattern reads nothing: it needs {level} or another field"));
    }
    if (r < 0) {
        *ret_position = (size_t)(c.blame - text);
        ret_pattern->count = 0;
    }
    return r;
}
