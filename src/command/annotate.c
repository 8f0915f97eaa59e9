#include "command/annotate.h"

#include <errno.h>
#include <string.h>

#include "base/fault.h"
#include "base/text.h"
#include "base/tongue.h"
#include "command/command.h"
#include "command/steer.h"
#include "session/log_copy.h"

/* So that it is told apart from what was marked at the mount. */
static const char who[] = "trainer";

int annotate_begin(struct engine *engine, const char *path)
{
    int r = log_copy(engine->log_path, path, NULL);

    if (r < 0) {
        command_complain(path, r == -EEXIST ? _("there is a log already") : fault_words(-r),
                         _("give another place with --notes"));
        return -EINVAL;
    }
    text_copy(engine->notes_path, sizeof engine->notes_path, path);
    text_copy(engine->seek_path, sizeof engine->seek_path, "replay:");
    text_append(engine->seek_path, sizeof engine->seek_path, "%s", path);
    return 0;
}

bool annotate_takes(const struct engine *engine, const struct record *record)
{
    return engine->notes_path[0] != '\0' &&
           (record->kind == RECORD_NOTE || record->kind == RECORD_MARK);
}

void annotate_add(struct engine *engine, const struct record *record)
{
    struct record mark = {.t = engine->state.t, .kind = RECORD_MARK};
    int r;

    text_copy(mark.mark.text, sizeof mark.mark.text, who);
    if (record->note.text[0]) {
        text_append(mark.mark.text, sizeof mark.mark.text, ": %s", record->note.text);
    }
    record_round(&mark);
    r = log_insert(engine->notes_path, &mark);
    if (r < 0) {
        char text[RECORD_TEXT_SIZE] = "";
        text_append(text, sizeof text, _("the copy can't be written: %s"), fault_words(-r));
        engine->face->message(engine->face_self, text);
        return;
    }
    steer_add_mark(engine, &mark);
    engine_apply(engine, &mark);
}
