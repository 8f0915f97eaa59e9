#include "record/handover.h"

static const char *const origins[HANDOVER_ORIGINS] = {
    [HANDOVER_MEASURED] = "measured",    [HANDOVER_READ] = "read and typed in",
    [HANDOVER_COUNTED] = "counted",      [HANDOVER_IMPLIED] = "implied",
    [HANDOVER_COMPUTED] = "computed",    [HANDOVER_GIVEN] = "given by the job",
    [HANDOVER_UNKNOWN] = "not measured",
};

static const char *const endings[HANDOVER_ENDINGS] = {
    [HANDOVER_NEVER] = "not come to",   [HANDOVER_OPEN] = "cut off",
    [HANDOVER_DONE] = "done",           [HANDOVER_CONFIRMED] = "confirmed",
    [HANDOVER_BY_WORD] = "by word",     [HANDOVER_SKIPPED] = "skipped",
    [HANDOVER_LEFT] = "gone back from", [HANDOVER_AGAIN] = "to be done again",
};

const char *handover_origin_name(enum handover_origin origin)
{
    return origins[origin];
}

const char *handover_ending_name(enum handover_ending ending)
{
    return endings[ending];
}

const char *handover_verdict_name(enum handover_verdict verdict)
{
    static const char *const names[] = {"met", "not met", "not measured"};

    return names[verdict];
}

const char *handover_kind_name(enum handover_kind kind)
{
    static const char *const names[] = {"install", "practice", "quiz"};

    return names[kind];
}
