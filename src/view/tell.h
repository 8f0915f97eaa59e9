/*
 * tell.h - a session as sentences, each said once, when something has changed. For people who
 * listen or read line by line. Pure; text is UTF-8.
 */
#ifndef VIEW_TELL_H
#define VIEW_TELL_H

#include <stdbool.h>

#include "view/face.h"

enum { TELL_SIZE = 1024 };

struct tell {
    void (*say)(void *to, const char *sentence);
    void *to; /* borrowed */

    bool begun;
    double target_deg[AXIS_COUNT]; /* as told last; NaN = not told */
    int fix_mode;
    struct {
        bool told;
        enum record_source_status status;
        unsigned bad; /* told last */
    } sources[STATE_SOURCES];
    bool lock_told, locked;
    char lock_id[RECORD_NAME_SIZE];
    double best, best_t; /* as told last; NaN = not told */
    enum level_unit best_unit;
    struct advice advice;       /* as told last */
    char why[RECORD_TEXT_SIZE]; /* as told last */
    double advice_t;            /* NaN = none yet */
    bool simulation_told;       /* that no hands are needed to push its mount */
    bool advice_waits;          /* a newer one of the same kind is held back */
};

/* say(to, sentence) is called for each sentence, which has no line's end. */
void tell_init(struct tell *tell, void (*say)(void *to, const char *sentence), void *to);

/* A record was applied to the scene's state. */
void tell_record(struct tell *tell, const struct face_scene *scene, const struct record *record);

/*
 * A replay was steered: where it stands now, at which pace, and after it went somewhere what the
 * coach says there. What is so already is not told again.
 */
void tell_steered(struct tell *tell, const struct face_scene *scene, bool sought);

#endif
