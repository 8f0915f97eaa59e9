#include "view/ear.h"

#include <errno.h>
#include <math.h>

#include "base/text.h"
#include "base/tongue.h"
#include "view/aim.h"

static const double at_best_db = 0.1;

static void keep_words(void *to, const char *sentence)
{
    struct ear *ear = to;

    text_append(ear->words, sizeof ear->words, "%s%s", ear->words[0] ? " " : "", sentence);
}

void ear_init(struct ear *ear)
{
    sound_init(&ear->sound);
    tell_init(&ear->tell, keep_words, ear);
    ear->words[0] = '\0';
    for (int i = 0; i < SOUND_PARTS; i++) {
        ear->wanted[i] = false;
    }
}

void ear_finish(struct ear *ear)
{
    sound_finish(&ear->sound);
}

const char *ear_toggle(struct ear *ear, enum sound_part part)
{
    static const char *const now[SOUND_PARTS][2] = {
        [SOUND_TONE] = {N_("The level is not to be heard any more."),
                        N_("The level is to be heard: the higher the better.")},
        [SOUND_SPEECH] = {N_("Nothing is read aloud any more."),
                          N_("What the coach says is read aloud.")},
    };

    ear->wanted[part] = !ear->wanted[part];
    return _(now[part][ear->wanted[part]]);
}

void ear_record(struct ear *ear, const struct face_scene *scene, const struct record *record)
{
    tell_record(&ear->tell, scene, record);
}

void ear_steered(struct ear *ear, const struct face_scene *scene, bool sought)
{
    tell_steered(&ear->tell, scene, sought);
}

static void sound_level_of(struct ear *ear, const struct state *state, double t)
{
    double below = state->level.best - state->level.filter.level;
    double error = state->level.filter.error;

    if (!level_unit_is_db(state->level.unit)) {
        /* what a meter shows in percent or volts is no power: near enough for an ear */
        below = 20.0 * log10(state->level.best / state->level.filter.level);
    }
    /* an antenna that is held gives a level that it does not keep: nobody is to hold on for it */
    if (!state->level.known || t - state->level.t > aim_old_s || t < state->level.free_t) {
        below = NAN;
    }
    sound_level(&ear->sound, below, below <= fmax(at_best_db, isfinite(error) ? 2.0 * error : 0.0));
}

const char *ear_show(struct ear *ear, const struct state *state, double t)
{
    static const char *const silent[SOUND_PARTS] = {
        [SOUND_TONE] = N_("no sound: the sound card can't be opened"),
        [SOUND_SPEECH] = N_("no speech: no speech server answers"),
    };
    const char *why = NULL;

    for (int i = 0; i < SOUND_PARTS; i++) {
        int r = sound_switch(&ear->sound, (enum sound_part)i, ear->wanted[i]);
        if (r < 0) {
            ear->wanted[i] = false;
            why = r == -EPIPE ? _(silent[i]) : _("no sound: peakward was built without it");
        }
    }
    sound_level_of(ear, state, t);
    if (ear->words[0]) {
        sound_say(&ear->sound, ear->words);
        ear->words[0] = '\0';
    }
    return why;
}
