/* The grounds on which a carrier is, or is not, called the target. */
#include "expect.h"

#include <stdio.h>
#include <string.h>

#include "coach/identity.h"
#include "sky_stage.h"

static struct sky_stage stage;

static struct verdict judged(char text[RECORD_TEXT_SIZE])
{
    struct verdict_evidence evidence = identity_evidence(&stage.state, &stage.arc, true);
    struct verdict verdict = verdict_of(&evidence);

    identity_say(&stage.state, &stage.arc, &evidence, &verdict, text);
    return verdict;
}

static void lock(bool locked, const char *id)
{
    struct record record = {.t = 2.0, .kind = RECORD_LOCK, .lock = {.locked = locked}};

    strcpy(record.lock.id, id);
    state_apply(&stage.state, &record);
}

static void a_place_on_the_arc_is_a_ground(void **unused)
{
    char text[RECORD_TEXT_SIZE];

    (void)unused;
    sky_raise(&stage, "");
    for (int i = 0; i < 5; i++) {
        sky_meet(&stage, i, 3.0);
    }
    stage.arc.chosen = sky_meet(&stage, -1, 3.0);
    arc_compare(&stage.arc, &stage.state);
    lock(true, "");
    assert_int_equal(judged(text).kind, VERDICT_TARGET);
    assert_non_null(strstr(text, "it is the target"));
    assert_non_null(strstr(text, "fits the arc"));
}

static void a_lamp_alone_makes_nobody_sure(void **unused)
{
    char text[RECORD_TEXT_SIZE];

    (void)unused;
    sky_raise(&stage, "");
    stage.job.neighbour_count = 0;
    stage.arc.chosen = sky_meet(&stage, -1, 0.0);
    arc_compare(&stage.arc, &stage.state);
    lock(true, "");
    assert_int_equal(judged(text).kind, VERDICT_UNSURE);
    assert_non_null(strstr(text, "not sure, because"));
}

static void a_name_decides(void **unused)
{
    char text[RECORD_TEXT_SIZE];

    (void)unused;
    sky_raise(&stage, "WREN");
    stage.arc.chosen = sky_meet(&stage, -1, 0.0);
    arc_compare(&stage.arc, &stage.state);
    lock(true, "WREN");
    assert_int_equal(judged(text).kind, VERDICT_TARGET);
    assert_non_null(strstr(text, "the receiver names WREN"));
    lock(true, "PIPIT");
    assert_int_equal(judged(text).kind, VERDICT_NEIGHBOUR);
    assert_non_null(strstr(text, "it is another satellite: the receiver names PIPIT"));
}

/* A side lobe bears the same name: half as wide (0.43 to 0.56, row circ-sl1 of the reference), and
 * 18 dB below a top one and a half widths away. */
static void a_named_side_lobe_is_known_by_its_width_and_what_stands_beside(void **unused)
{
    char text[RECORD_TEXT_SIZE];
    struct sweep_peak side;

    (void)unused;
    sky_raise(&stage, "WREN");
    side = stage.arc.tops[sky_meet(&stage, -1, 0.0)];
    side.x += 1.6 * stage.arc.width_deg;
    side.level -= 18.0;
    side.width_deg *= 0.5;
    stage.arc.chosen = arc_add(&stage.arc, &stage.state, &side);
    arc_compare(&stage.arc, &stage.state);
    lock(true, "WREN");
    assert_int_equal(judged(text).kind, VERDICT_SIDE_LOBE);
    assert_non_null(strstr(text, "it is a side lobe"));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_place_on_the_arc_is_a_ground),
        cmocka_unit_test(a_lamp_alone_makes_nobody_sure),
        cmocka_unit_test(a_name_decides),
        cmocka_unit_test(a_named_side_lobe_is_known_by_its_width_and_what_stands_beside),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
