/* panel_satellite.c - is it the right satellite, as far as the receiver can tell. */
#include <math.h>

#include "base/text.h"
#include "base/tongue.h"
#include "view/figures.h"
#include "view/panel.h"

enum { LINE_SIZE = 200 };

static enum ink describe_id(const struct job *job, const char *id, char text[LINE_SIZE])
{
    const struct job_satellite *target = &job->target.satellite;
    const struct job_satellite *neighbour = job_find_neighbour(job, id);

    if (job_names(target, id)) {
        text_append(text, LINE_SIZE, _("Locked on %s: the target, %s"), id, job_target_name(job));
        return INK_GOOD;
    }
    if (neighbour) {
        text_append(text, LINE_SIZE, _("WRONG SATELLITE: locked on %s, that is %s"), id,
                    neighbour->name);
        return INK_BAD;
    }
    if (target->id[0]) {
        text_append(text, LINE_SIZE, _("NOT THE TARGET: locked on %s, wanted %s"), id, target->id);
        return INK_BAD;
    }
    text_append(text, LINE_SIZE, _("Locked on %s; the job does not say what the target's id is"),
                id);
    return INK_WARN;
}

static enum ink describe_lock(const struct panel_view *view, char text[LINE_SIZE])
{
    const struct state *state = view->scene->state;

    text[0] = '\0';
    if (isnan(state->lock_t)) {
        text_append(text, LINE_SIZE, "%s",
                    _("Satellite not known: no receiver has said lock or no lock"));
        return INK_FAINT;
    }
    if (!state->lock.locked) {
        text_append(text, LINE_SIZE, "%s", _("No lock"));
        return INK_WARN;
    }
    if (state->lock.id[0]) {
        return describe_id(state->job, state->lock.id, text);
    }
    text_append(text, LINE_SIZE, "%s", _("Locked; on which satellite the receiver does not say"));
    return INK_WARN;
}

void panel_satellite(const struct pane *pane, const struct panel_view *view)
{
    char text[LINE_SIZE];
    enum ink ink = describe_lock(view, text);

    pane_put(pane, 0, 1, ink, text);
}
