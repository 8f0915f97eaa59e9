#include "view/history.h"

#include <string.h>

void history_add(struct history *history, const struct record *record)
{
    while (history->step_count > 0 && history->steps[history->step_count - 1].t > record->t) {
        history->step_count--;
    }
    if (record->kind != RECORD_STEP || record->step.event != STEP_ENTER) {
        return;
    }
    if (history->step_count == HISTORY_STEPS) {
        memmove(history->steps, history->steps + 1, sizeof history->steps - sizeof *history->steps);
        history->step_count--;
    }
    history->steps[history->step_count].t = record->t;
    history->steps[history->step_count++].number = record->step.number;
}
