#include "view/words.h"

#include <errno.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>

#include "base/text.h"
#include "base/tongue.h"
#include "view/words_line.h"

static const double most_deg = 360.0;
static const double most_turns = 1000.0;

/* TRANSLATORS: what is typed stays English: done, az, moved, right, turns, ...; what is in capitals
 * stands for something else and may be translated */
const char words_help[] =
    N_("done | skip | back | repeat    answer the step\n"
       "az DEG | el DEG | skew DEG     what the mount's scale reads\n"
       "moved WAY AMOUNT turns|deg     WAY is right, left, up, down, clockwise or anticlockwise;\n"
       "                               AMOUNT is like 1.25 or 1/8 or 1 1/4\n"
       "level VALUE [UNIT]             what a meter without a cable shows\n"
       "lock yes|no [ID]               whether the receiver has lock, and on what\n"
       "download MBPS | upload MBPS    what a speed test came to, for the record\n"
       "isolation DB                   what the network's operator measured, for the record\n"
       "note TEXT                      something to keep with the session\n"
       "mark [TEXT]                    a mark at this moment\n"
       "now                            how all stands: level, angles, steps, sources, notes\n"
       "tone | aloud                   hear the level, hear what the coach says; again: be quiet\n"
       "help | quit                    the log is kept");

/* TRANSLATORS: what is typed stays English here, too */
const char words_help_replay[] = N_(
    "pause | play                   stand still, go on\n"
    "speed X|max                    times as fast as it was; as fast as it goes\n"
    "next | previous                one reading on, one back\n"
    "forward [S] | rewind [S]       seconds on, back; 10 without a number\n"
    "seek TIME                      to a time since the start: 250, 4:10 or 1:02:30; start or end\n"
    "seek next|previous WHAT        WHAT is step, mark or advice\n"
    "seek step NAME|NUMBER          to where that step began\n"
    "note TEXT                      kept in the copy that --notes names\n"
    "now                            how all stands: level, angles, steps, sources, notes\n"
    "tone | aloud                   hear the level, hear what the coach says; again: be quiet\n"
    "help | quit                    the recording stays as it is");

static const char *const degree_words[] = {"deg", "degrees", "degree", "\u00b0", NULL};
static const char *const turn_words[] = {"turns", "turn", NULL};

/* Cut a degree sign off a number's end; true when there was one. */
static bool cut_degree_sign(char *word)
{
    static const char sign[] = "\u00b0";
    size_t n = strlen(word), k = sizeof sign - 1;

    if (n > k && strcmp(word + n - k, sign) == 0) {
        word[n - k] = '\0';
        return true;
    }
    return false;
}

/* "1/8": two whole numbers, the lower one not 0. */
static bool parse_fraction(const char *word, double *ret_value)
{
    char *end;
    unsigned long over, under;

    if (word[0] < '0' || word[0] > '9') {
        return false;
    }
    over = strtoul(word, &end, 10);
    if (end[0] != '/' || end[1] < '0' || end[1] > '9') {
        return false;
    }
    under = strtoul(end + 1, &end, 10);
    if (*end != '\0' || under == 0) {
        return false;
    }
    *ret_value = (double)over / (double)under;
    return true;
}

/* AMOUNT: 1.25, 1/8, 1 1/4. The degree sign may hang on it. */
static int take_amount(struct words_line *line, double *ret_amount, bool *ret_has_sign)
{
    const char *wanted = _("say how much, like 1.25 or 1/8 or 1 1/4, then turns or deg");
    char *word = words_line_next(line), peeked[WORDS_LINE_SIZE];
    double part;

    *ret_has_sign = cut_degree_sign(word);
    if (!parse_fraction(word, ret_amount)) {
        if (words_line_number(line, word, wanted, ret_amount) < 0) {
            return -EINVAL;
        }
        if (!*ret_has_sign && *ret_amount == floor(*ret_amount)) {
            words_line_peek(line, peeked);
            if (parse_fraction(peeked, &part)) {
                words_line_next(line);
                *ret_amount += part;
            }
        }
    }
    if (!(*ret_amount > 0.0)) {
        return words_line_refuse(line, word, _("is no amount"),
                                 _("the way says the sign, give more than 0"));
    }
    return 0;
}

/* --- the words ------------------------------------------------------------------------------ */

static int take_step(struct words_line *line, int event, struct words *ret)
{
    static const char *const names[] = {
        [STEP_DONE] = "done", [STEP_SKIP] = "skip", [STEP_BACK] = "back", [STEP_REPEAT] = "repeat"};

    ret->record.kind = RECORD_STEP;
    ret->record.step.event = (enum record_step_event)event;
    return words_line_end(line, names[event]);
}

static int take_angle(struct words_line *line, int axis, struct words *ret)
{
    const char *wanted = _("say the degrees on the scale, like az 143.2");
    char *word = words_line_next(line);
    double deg;

    cut_degree_sign(word);
    if (words_line_number(line, word, wanted, &deg) < 0) {
        return -EINVAL;
    }
    if (fabs(deg) > most_deg) {
        return words_line_refuse(line, word, _("is no angle"), _("degrees go from -360 to 360"));
    }
    word = words_line_next(line);
    if (word[0] != '\0' && !words_line_is_one_of(word, degree_words)) {
        return words_line_refuse(line, word, _("is not understood"),
                                 _("after the number comes deg or nothing"));
    }
    ret->record.kind = RECORD_ANGLES;
    for (int i = 0; i < AXIS_COUNT; i++) {
        ret->record.angles.deg[i] = i == axis ? deg : NAN;
    }
    ret->record.angles.scale = true;
    strcpy(ret->record.angles.from, "scale");
    return words_line_end(line, tongue_say_in("nothing follows", "the angle"));
}

static int take_move(struct words_line *line, int unused, struct words *ret)
{
    struct record_move *move = &ret->record.move;
    char *word = words_line_next(line);
    bool has_sign, in_deg;
    double amount;
    int sign;

    (void)unused;
    for (char *p = word; *p; p++) {
        *p = *p >= 'A' && *p <= 'Z' ? (char)(*p - 'A' + 'a') : *p;
    }
    if (!axis_parse_way(word, &move->axis, &sign)) {
        return words_line_refuse(line, word, _("is no way to turn"),
                                 _("say moved right, left, up, down, clockwise or anticlockwise"));
    }
    if (take_amount(line, &amount, &has_sign) < 0) {
        return -EINVAL;
    }
    word = has_sign ? (char[]){"deg"} : words_line_next(line);
    in_deg = words_line_is_one_of(word, degree_words);
    if (!in_deg && !words_line_is_one_of(word, turn_words)) {
        return words_line_refuse(line, word, _("is no unit"),
                                 _("say turns or deg after the amount"));
    }
    if (amount > (in_deg ? most_deg : most_turns)) {
        return words_line_refuse(line, word, _("are too many"),
                                 _("a move is up to 360 degrees or 1000 turns of a bolt"));
    }
    ret->record.kind = RECORD_MOVE;
    move->deg = in_deg ? sign * amount : NAN;
    move->turns = in_deg ? NAN : sign * amount;
    return words_line_end(line, tongue_say_in("nothing follows", "the move"));
}

static int take_level(struct words_line *line, int unused, struct words *ret)
{
    struct record_level *level = &ret->record.level;
    char *word = words_line_next(line);

    (void)unused;
    if (words_line_number(line, word, _("say what the meter shows, like level 12.1"),
                          &level->value) < 0) {
        return -EINVAL;
    }
    if (fabs(level->value) > RECORD_HIGHEST_LEVEL) {
        return words_line_refuse(line, word, _("can't be"),
                                 _("say what the meter shows, like level 12.1"));
    }
    level->unit = line->unit;
    word = words_line_next(line);
    if (strcmp(word, "%") == 0) {
        level->unit = LEVEL_PERCENT;
    } else if (word[0] != '\0' && !level_unit_parse(word, &level->unit)) {
        return words_line_refuse(line, word, _("is no unit"),
                                 _("say dB, dBm, dBuV, percent, V or raw"));
    }
    ret->record.kind = RECORD_LEVEL;
    return words_line_end(line, tongue_say_in("nothing follows", "the level"));
}

static int take_lock(struct words_line *line, int unused, struct words *ret)
{
    const char *word = words_line_next(line);
    bool yes = strcasecmp(word, "yes") == 0;

    (void)unused;
    if (!yes && strcasecmp(word, "no") != 0) {
        return words_line_refuse(line, word, _("is not understood"),
                                 _("say lock yes, lock yes ID or lock no"));
    }
    ret->record.kind = RECORD_LOCK;
    ret->record.lock.locked = yes;
    if (!yes) {
        return words_line_end(line, "lock no");
    }
    word = words_line_rest(line);
    text_sanitize(ret->record.lock.id, sizeof ret->record.lock.id, word, strlen(word));
    return 0;
}

/* What is measured elsewhere and belongs in the record. */
enum { TOLD_DOWNLOAD, TOLD_UPLOAD, TOLD_ISOLATION };

static int take_told(struct words_line *line, int what, struct words *ret)
{
    static const struct {
        const char *name, *unit, *wanted;
        double least, most;
    } told[] = {
        [TOLD_DOWNLOAD] = {"download", "Mbit/s", N_("say the Mbit/s, like download 42.5"), 0, 1e6},
        [TOLD_UPLOAD] = {"upload", "Mbit/s", N_("say the Mbit/s, like upload 8.1"), 0, 1e6},
        [TOLD_ISOLATION] = {"isolation", "dB", N_("say the dB, like isolation 31"), 0, 100},
    };
    struct record_aux *aux = &ret->record.aux;
    char *word = words_line_next(line);

    if (words_line_number(line, word, _(told[what].wanted), &aux->value) < 0) {
        return -EINVAL;
    }
    if (!(aux->value >= told[what].least && aux->value <= told[what].most)) {
        return words_line_refuse(line, word, _("can't be"), _(told[what].wanted));
    }
    word = words_line_next(line);
    if (word[0] != '\0' && strcasecmp(word, told[what].unit) != 0) {
        return words_line_refuse(line, word, _("is another unit"), _(told[what].wanted));
    }
    ret->record.kind = RECORD_AUX;
    text_copy(aux->name, sizeof aux->name, told[what].name);
    text_copy(aux->unit, sizeof aux->unit, told[what].unit);
    return words_line_end(line, told[what].name);
}

static int take_text(struct words_line *line, int kind, struct words *ret)
{
    const char *text = words_line_rest(line);

    if (kind == RECORD_NOTE && text[0] == '\0') {
        return words_line_refuse(line, "", "", _("say what to note, like note nut was loose"));
    }
    ret->record.kind = (enum record_kind)kind;
    text_sanitize(ret->record.note.text, sizeof ret->record.note.text, text, strlen(text));
    return 0;
}

static int take_plain(struct words_line *line, int kind, struct words *ret)
{
    ret->kind = (enum words_kind)kind;
    return words_line_end(line, tongue_say_in("nothing follows", "that word"));
}

static const struct {
    const char *name;
    int (*take)(struct words_line *line, int detail, struct words *ret);
    int detail;
} table[] = {
    {"done", take_step, STEP_DONE},
    {"skip", take_step, STEP_SKIP},
    {"back", take_step, STEP_BACK},
    {"repeat", take_step, STEP_REPEAT},
    {"az", take_angle, AXIS_AZIMUTH},
    {"azimuth", take_angle, AXIS_AZIMUTH},
    {"el", take_angle, AXIS_ELEVATION},
    {"elevation", take_angle, AXIS_ELEVATION},
    {"skew", take_angle, AXIS_SKEW},
    {"moved", take_move, 0},
    {"level", take_level, 0},
    {"lock", take_lock, 0},
    {"download", take_told, TOLD_DOWNLOAD},
    {"upload", take_told, TOLD_UPLOAD},
    {"isolation", take_told, TOLD_ISOLATION},
    {"note", take_text, RECORD_NOTE},
    {"mark", take_text, RECORD_MARK},
    {"quit", take_plain, WORDS_QUIT},
    {"help", take_plain, WORDS_HELP},
    {"pause", take_plain, WORDS_PAUSE},
    {"play", take_plain, WORDS_PLAY},
    {"speed", words_take_speed, 0},
    {"seek", words_take_seek, 0},
    {"forward", words_take_jump, 1},
    {"rewind", words_take_jump, -1},
    {"next", words_take_one, 1},
    {"previous", words_take_one, -1},
};

int words_parse(const char *text, enum level_unit unit, struct words *ret_words,
                char why[RECORD_TEXT_SIZE])
{
    struct words_line line = {.rest = line.text, .unit = unit, .why = why};
    struct words words = {.kind = WORDS_RECORD, .number = NAN};
    char *word, blanked[WORDS_LINE_SIZE];

    if (strlen(text) >= sizeof line.text) {
        return words_line_refuse(&line, "", "",
                                 _("that is too long: keep it under 500 characters"));
    }
    text_copy(blanked, sizeof blanked, text);
    for (char *p = blanked; *p; p++) {
        *p = strchr("\t\r\n", *p) ? ' ' : *p;
    }
    /* the quoted words of a refusal go to the screen, too */
    text_sanitize(line.text, sizeof line.text, blanked, strlen(blanked));
    word = words_line_next(&line);
    if (word[0] == '\0') {
        *ret_words = (struct words){.kind = WORDS_NOTHING, .number = NAN};
        return 0;
    }
    for (size_t i = 0; i < sizeof table / sizeof *table; i++) {
        if (strcasecmp(word, table[i].name) == 0) {
            int r = table[i].take(&line, table[i].detail, &words);
            if (r == 0) {
                *ret_words = words;
            }
            return r;
        }
    }
    /* which words there are differs: live, in a replay, in a drill */
    return words_line_refuse(&line, word, _("is not understood"), _("help tells all words"));
}
