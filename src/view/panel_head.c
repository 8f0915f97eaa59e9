/* panel_head.c - one line: what is done, for which satellite, for how long, and where it is kept.
 */
#include <math.h>
#include <stdio.h>
#include <string.h>
#include <time.h>

#include "base/text.h"
#include "base/tongue.h"
#include "view/figures.h"
#include "view/panel.h"

enum { HEAD_SIZE = 256 };

static void describe_target(char *text, const struct job *job)
{
    static const char *const letters[] = {
        [POLARISATION_V] = " V", [POLARISATION_H] = " H", [POLARISATION_CIRCULAR] = ""};
    double lon = job->target.satellite.lon_deg;

    text[0] = '\0';
    if (job->target.given) {
        text_append(text, HEAD_SIZE, "%s %.1f%c%s", job_target_name(job), fabs(lon),
                    lon < 0.0 ? 'W' : 'E', letters[job->target.polarisation]);
    }
}

/* "09:30:12 UTC" as far as it is known. */
static void describe_utc(char *text, const struct panel_view *view)
{
    const struct state *state = view->scene->state;
    time_t seconds = (time_t)(state->utc_s + view->t - state->utc_t);
    struct tm utc;

    text[0] = '\0';
    if (isfinite(state->utc_s) && gmtime_r(&seconds, &utc)) {
        strftime(text, FIGURES_SIZE, "  %H:%M:%S UTC", &utc);
    }
}

/* "recording 12:41", "paused at 2:20" */
static void describe_doing(char *text, const struct face_scene *scene, const char *clock)
{
    text[0] = '\0';
    if (!scene->replaying && scene->log_is_stuck) {
        text_append(text, HEAD_SIZE, _("NOT recorded %s"), clock);
    } else if (!scene->replaying) {
        text_append(text, HEAD_SIZE, scene->log_path[0] ? _("recording %s") : _("not recorded %s"),
                    clock);
    } else if (scene->ended) {
        text_append(text, HEAD_SIZE, _("the end, %s"), clock);
    } else if (scene->paused) {
        text_append(text, HEAD_SIZE, _("paused at %s"), clock);
    } else {
        text_append(text, HEAD_SIZE, _("replay %s"), clock);
    }
}

/* "recording 12:41 to hut.jsonl" */
static void describe_time(char *text, const struct panel_view *view, bool with_more)
{
    const struct face_scene *scene = view->scene;
    const char *name = strrchr(scene->log_path, '/');
    char clock[FIGURES_SIZE], what[HEAD_SIZE];

    name = name ? name + 1 : scene->log_path;
    figures_clock(clock, view->t);
    describe_doing(what, scene, clock);
    text[0] = '\0';
    if (with_more && name[0] && !scene->log_is_stuck) {
        /* TRANSLATORS: "replay 2:20", and the file it is of; "recording 2:20", and the file it
         * goes to */
        text_append(text, HEAD_SIZE, scene->replaying ? _("%s of %s") : _("%s to %s"), what, name);
    } else {
        text_copy(text, HEAD_SIZE, what);
    }
    if (with_more && scene->replaying && isinf(scene->speed)) {
        text_append(text, HEAD_SIZE, "%s", _(", as fast as it goes"));
    } else if (with_more && scene->replaying && scene->speed != 1.0) {
        text_append(text, HEAD_SIZE, _(", %g times as fast"), scene->speed);
    }
}

void panel_head(const struct pane *pane, const struct panel_view *view)
{
    char target[HEAD_SIZE], left[HEAD_SIZE] = " ", right[HEAD_SIZE], utc[FIGURES_SIZE];

    describe_target(target, view->scene->state->job);
    describe_time(right, view, pane->cols >= 72);
    if (pane->cols >= 100) {
        describe_utc(utc, view);
        text_append(right, sizeof right, "%s", utc);
    }
    text_append(right, sizeof right, " ");
    if (pane->cols >= 72) {
        text_append(left, sizeof left,
                    view->scene->mount_is_simulated ? _("%s (simulated mount): %s") : _("%s: %s"),
                    _(view->scene->title), target);
    } else {
        text_append(left, sizeof left, "%s", target);
    }
    pane_fill(pane, 0, INK_BAR, ' ');
    pane_put(pane, 0, 0, INK_BAR, left);
    pane_put_right(pane, 0, INK_BAR, right);
}
