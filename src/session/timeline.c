#include "session/timeline.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>

#include "base/text.h"

void timeline_init(struct timeline *timeline)
{
    memset(timeline, 0, sizeof *timeline);
    timeline->every = 1;
}

static void add_place(struct timeline *timeline, double t, enum timeline_kind kind, int number,
                      const char *text)
{
    size_t at = timeline->place_count;

    if (at == TIMELINE_PLACES) {
        return;
    }
    while (at > 0 && timeline->places[at - 1].t > t) {
        at--;
    }
    memmove(&timeline->places[at + 1], &timeline->places[at],
            (timeline->place_count - at) * sizeof timeline->places[0]);
    timeline->places[at] = (struct timeline_place){.t = t, .kind = kind, .number = number};
    text_copy(timeline->places[at].text, sizeof timeline->places[at].text, text);
    timeline->place_count++;
}

void timeline_add_mark(struct timeline *timeline, double t, const char *text)
{
    add_place(timeline, t, TIMELINE_MARK, 0, text);
}

/* Full: every second of those kept goes, and from now on only half as many come. */
static void thin(struct timeline *timeline)
{
    for (size_t i = 0; 2 * i < timeline->level_count; i++) {
        timeline->levels[i] = timeline->levels[2 * i];
    }
    timeline->level_count = (timeline->level_count + 1) / 2;
    timeline->every *= 2;
}

static void add_level(struct timeline *timeline, double t, double filtered)
{
    if (timeline->passed++ % timeline->every != 0 && isfinite(filtered)) {
        return;
    }
    if (timeline->level_count == TIMELINE_LEVELS) {
        thin(timeline);
    }
    timeline->levels[timeline->level_count].t = t;
    timeline->levels[timeline->level_count++].filtered = (float)filtered;
}

static bool is_new(const struct advice *advice, const struct advice *last)
{
    return advice->move != last->move || advice->axis != last->axis ||
           strcmp(advice->step, last->step) != 0 ||
           (isnan(advice->deg) && strcmp(advice->say, last->say) != 0);
}

void timeline_add(struct timeline *timeline, const struct state *state, const struct record *record)
{
    timeline->end_t = record->t;
    switch (record->kind) {
    case RECORD_STEP:
        if (record->step.event == STEP_ENTER) {
            add_place(timeline, record->t, TIMELINE_STEP, record->step.number, record->step.name);
        }
        break;
    case RECORD_MARK:
    case RECORD_NOTE:
        timeline_add_mark(timeline, record->t, record->note.text);
        break;
    case RECORD_ADVICE:
        if (is_new(&record->advice, &timeline->advice)) {
            add_place(timeline, record->t, TIMELINE_ADVICE, 0, record->advice.say);
        }
        timeline->advice = record->advice;
        break;
    case RECORD_LEVEL:
        add_level(timeline, record->t, state->level.filter.level);
        break;
    case RECORD_SOURCE:
        if (record->source.status == SOURCE_DOWN) {
            add_level(timeline, record->t, NAN);
        }
        break;
    default:
        break;
    }
}

/* --- finding -------------------------------------------------------------------------------- */

const struct timeline_place *timeline_after(const struct timeline *timeline,
                                            enum timeline_kind kind, double t)
{
    for (size_t i = 0; i < timeline->place_count; i++) {
        if (timeline->places[i].kind == kind && timeline->places[i].t > t) {
            return &timeline->places[i];
        }
    }
    return NULL;
}

const struct timeline_place *timeline_before(const struct timeline *timeline,
                                             enum timeline_kind kind, double t)
{
    for (size_t i = timeline->place_count; i-- > 0;) {
        if (timeline->places[i].kind == kind && timeline->places[i].t < t) {
            return &timeline->places[i];
        }
    }
    return NULL;
}

static bool is_step(const struct timeline_place *place, const char *name, size_t length)
{
    char *end;
    long number = strtol(name, &end, 10);

    if (place->kind != TIMELINE_STEP) {
        return false;
    }
    if (end != name && *end == '\0') {
        return place->number == number;
    }
    return strncasecmp(place->text, name, length) == 0;
}

static const struct timeline_place *find_step(const struct timeline *timeline, const char *name,
                                              size_t length, double t)
{
    const struct timeline_place *first = NULL;

    for (size_t i = 0; i < timeline->place_count; i++) {
        const struct timeline_place *place = &timeline->places[i];
        if (is_step(place, name, length)) {
            if (place->t > t) {
                return place;
            }
            first = first ? first : place;
        }
    }
    return first;
}

const struct timeline_place *timeline_step(const struct timeline *timeline, const char *name,
                                           double t)
{
    size_t length = strlen(name);
    /* the whole name, with its end, goes before a beginning */
    const struct timeline_place *place = find_step(timeline, name, length + 1, t);

    return place ? place : find_step(timeline, name, length, t);
}
