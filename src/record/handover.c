#include "record/handover.h"

#include "base/tongue.h"

static const char *const origins[HANDOVER_ORIGINS] = {
    [HANDOVER_MEASURED] = N_("measured"),    [HANDOVER_READ] = N_("read and typed in"),
    [HANDOVER_COUNTED] = N_("counted"),      [HANDOVER_IMPLIED] = N_("implied"),
    [HANDOVER_COMPUTED] = N_("computed"),    [HANDOVER_GIVEN] = N_("given by the job"),
    [HANDOVER_UNKNOWN] = N_("not measured"),
};

static const char *const endings[HANDOVER_ENDINGS] = {
    [HANDOVER_NEVER] = N_("not come to"),   [HANDOVER_OPEN] = N_("cut off"),
    [HANDOVER_DONE] = N_("done"),           [HANDOVER_CONFIRMED] = N_("confirmed"),
    [HANDOVER_BY_WORD] = N_("by word"),     [HANDOVER_SKIPPED] = N_("skipped"),
    [HANDOVER_LEFT] = N_("gone back from"), [HANDOVER_AGAIN] = N_("to be done again"),
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
    static const char *const names[] = {N_("met"), N_("not met"), N_("not measured")};

    return names[verdict];
}

const char *handover_kind_name(enum handover_kind kind)
{
    static const char *const names[] = {"install", "practice", "quiz"};

    return names[kind];
}
