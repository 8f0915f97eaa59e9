/* words_replay.c - the words that steer a replay: its pace, and where to in it. */
#include <errno.h>
#include <math.h>
#include <string.h>
#include <strings.h>

#include "base/text.h"
#include "base/tongue.h"
#include "view/words_line.h"

static const double most_speed = 1000.0;
static const double most_seek_s = 1e7;
static const double jump_s = 10.0;

int words_take_speed(struct words_line *line, int unused, struct words *ret)
{
    const char *wanted = _("say speed and a number above 0 and up to 1000, 1 is as it was; or "
                           "speed max");
    const char *word = words_line_next(line);

    (void)unused;
    if (strcasecmp(word, "max") == 0) {
        ret->number = INFINITY;
    } else if (words_line_number(line, word, wanted, &ret->number) < 0) {
        return -EINVAL;
    } else if (!(ret->number > 0.0 && ret->number <= most_speed)) {
        return words_line_refuse(line, word, _("is no speed"), wanted);
    }
    ret->kind = WORDS_SPEED;
    return words_line_end(line, tongue_say_in("nothing follows", "the speed"));
}

/* 250, 4:10, 1:02:30: minutes and seconds stay below 60 where something stands before them. */
static bool parse_time(const char *word, double *ret_s)
{
    char part[32];
    double sum = 0.0, value;

    for (int i = 0; i < 3; i++) {
        size_t n = strcspn(word, ":");
        if (n == 0 || n >= sizeof part || (word[n] == ':' && strspn(word, "0123456789") != n)) {
            return false;
        }
        memcpy(part, word, n);
        part[n] = '\0';
        if (text_parse_double(part, &value) < 0 || value < 0.0 || (i > 0 && value >= 60.0)) {
            return false;
        }
        sum = 60.0 * sum + value;
        if (word[n] == '\0') {
            *ret_s = sum;
            return sum <= most_seek_s;
        }
        word += n + 1;
    }
    return false;
}

static int take_time(struct words_line *line, const char *word, struct words *ret)
{
    const char *wanted =
        _("say seek and a time since the start, like 90 or 4:10; start or end; next or previous "
          "and step, mark or advice; or step and its name");

    ret->place = PLACE_TIME;
    if (strcasecmp(word, "start") == 0) {
        ret->number = 0.0;
    } else if (strcasecmp(word, "end") == 0) {
        ret->number = INFINITY;
    } else if (!parse_time(word, &ret->number)) {
        return words_line_refuse(line, word, _("is no such time"), wanted);
    }
    return words_line_end(line, tongue_say_in("nothing follows", "the time"));
}

static int take_neighbour(struct words_line *line, double sign, struct words *ret)
{
    static const struct {
        const char *word;
        enum words_place place;
    } places[] = {{"step", PLACE_STEP}, {"mark", PLACE_MARK}, {"advice", PLACE_ADVICE}};
    const char *word = words_line_next(line);

    ret->number = sign;
    for (size_t i = 0; i < sizeof places / sizeof *places; i++) {
        if (strcasecmp(word, places[i].word) == 0) {
            ret->place = places[i].place;
            return words_line_end(line, tongue_say_in("nothing follows", "that word"));
        }
    }
    return words_line_refuse(line, word, _("is no place"), _("say step, mark or advice"));
}

static int take_step_name(struct words_line *line, struct words *ret)
{
    const char *name = words_line_rest(line);

    if (name[0] == '\0') {
        return words_line_refuse(line, "", "",
                                 _("say the step's name or number, like seek step 7"));
    }
    ret->place = PLACE_OF_STEP;
    text_copy(ret->name, sizeof ret->name, name);
    return 0;
}

int words_take_seek(struct words_line *line, int unused, struct words *ret)
{
    const char *word = words_line_next(line);

    (void)unused;
    ret->kind = WORDS_SEEK;
    if (strcasecmp(word, "step") == 0) {
        return take_step_name(line, ret);
    }
    if (strcasecmp(word, "next") == 0 || strcasecmp(word, "previous") == 0) {
        return take_neighbour(line, strcasecmp(word, "next") == 0 ? 1.0 : -1.0, ret);
    }
    return take_time(line, word, ret);
}

int words_take_jump(struct words_line *line, int sign, struct words *ret)
{
    const char *wanted = _("say forward or rewind and seconds above 0");
    const char *word = words_line_next(line);
    double seconds = jump_s;

    if (word[0] != '\0' && words_line_number(line, word, wanted, &seconds) < 0) {
        return -EINVAL;
    }
    if (!(seconds > 0.0 && seconds <= most_seek_s)) {
        return words_line_refuse(line, word, _("is no such time"), wanted);
    }
    ret->kind = WORDS_SEEK;
    ret->place = PLACE_AWAY;
    ret->number = sign * seconds;
    return words_line_end(line, tongue_say_in("nothing follows", "the seconds"));
}

int words_take_one(struct words_line *line, int sign, struct words *ret)
{
    ret->kind = WORDS_ONE;
    ret->number = sign;
    return words_line_end(line, tongue_say_in("nothing follows", "that word"));
}
