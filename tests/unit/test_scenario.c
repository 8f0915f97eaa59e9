/* Scenario files: found, read, refused. */
#include "expect.h"

#include <errno.h>

#include "make_world.h"

static void a_wrong_scenario_says_where(void **state)
{
    static const struct {
        const char *text, *why;
    } rows[] = {
        {"[site]\nlat = 95\n", ":2: lat = 95: not a number from -90 to 90"},
        {"[site]\nlat = high\n", ":2: lat = high: not a number from -90 to 90"},
        {"[site]\ntemper = 1\n", ":2: temper: no such key in this section"},
        {"[mount azimuth]\nrock = -1\n", ":2: rock = -1: not a number from 0 to 10"},
        {"[antenna]\nkind = horn\n", ":2: kind = horn: not one of dish, panel"},
        {"[weather report]\nrain = 1\n", ":2: [weather report]: no such section"},
        {"[site]\nutc = noon\n", ":2: utc = noon: not like 2026-05-12T09:30:00Z"},
        {"[target]\nsatellite = Wren\n", "[target] satellite = Wren: no such"},
        {"[site]\nlat\n", ":2: not a line of the form key = value"},
    };

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct world *world = NULL;
        char why[SCENARIO_WHY_SIZE] = "";
        assert_int_equal(try_world(rows[i].text, 1, &world, why), -EINVAL);
        assert_null(world);
        if (!strstr(why, rows[i].why)) {
            fail_msg("got \"%s\", want \"%s\"", why, rows[i].why);
        }
    }
}

static void a_scenario_is_found_by_its_name(void **state)
{
    char why[SCENARIO_WHY_SIZE], path[SCENARIO_PATH_SIZE];
    struct world *world = NULL;

    (void)state;
    assert_int_equal(world_create("no-such-place", 1, &world, why), -ENOENT);
    assert_int_equal(scenario_find("hut", path), 0);
    assert_int_equal(world_create("hut", 1, &world, why), 0);
    assert_string_equal(world_scenario(world)->name, "hut");
    world_destroy(world);
}

/* How far a hand on the edge bends it: as the file says, else 0.15 of the beam. */
static void what_a_hand_bends_follows_from_the_beam_where_it_is_not_said(void **state)
{
    static const struct {
        const char *text;
        double azimuth_deg, elevation_deg;
    } rows[] = {
        {QUIET, 0.3, 0.3}, /* of 2 degrees */
        {QUIET "[mount elevation]\nrock = 0.1\n", 0.3, 0.1},
        {QUIET "[mount azimuth]\nrock = 0\n", 0.0, 0.3}, /* as a rock */
    };

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct world *world = make_world(rows[i].text, 1);
        const struct scenario_axis *axes = world_scenario(world)->mount.axes;
        expect_near(axes[WORLD_AZIMUTH].rock_deg, rows[i].azimuth_deg, 1e-9);
        expect_near(axes[WORLD_ELEVATION].rock_deg, rows[i].elevation_deg, 1e-9);
        world_destroy(world);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_wrong_scenario_says_where),
        cmocka_unit_test(a_scenario_is_found_by_its_name),
        cmocka_unit_test(what_a_hand_bends_follows_from_the_beam_where_it_is_not_said),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
