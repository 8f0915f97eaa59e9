/* The trend of a whole job in a fixed number of pieces, against pieces counted directly. */
#include "expect.h"

#include "record/handover_trend.h"

static struct handover_trend trend;

/* Readings of a made-up level, one every `every` seconds. */
static double level_at(int i)
{
    return (double)(i * 7919 % 1000) / 10.0;
}

static void fill(int readings, double every)
{
    handover_trend_init(&trend);
    for (int i = 0; i < readings; i++) {
        handover_trend_add(&trend, i * every, level_at(i), -level_at(i));
    }
}

static void expect_pieces(int readings, double every)
{
    for (int piece = 0; piece < trend.count; piece++) {
        float low = NAN, high = NAN, filtered = NAN;
        for (int i = 0; i < readings; i++) {
            if ((int)(i * every / trend.piece_s) == piece) {
                low = fminf(low, (float)level_at(i));
                high = fmaxf(high, (float)level_at(i));
                filtered = (float)-level_at(i);
            }
        }
        expect_near(trend.pieces[piece].low, low, 0.0);
        expect_near(trend.pieces[piece].high, high, 0.0);
        expect_near(trend.pieces[piece].filtered, filtered, 0.0);
    }
}

static void pieces_grow_with_the_job(void **unused)
{
    static const struct {
        int readings;
        double every, piece_s;
        int count;
    } rows[] = {
        {0, 1.0, 0.5, 0},         {1, 1.0, 0.5, 1},      {512, 0.5, 0.5, 512}, /* just fits */
        {513, 0.5, 1.0, 257},                                                  /* one too many */
        {1024, 0.5, 1.0, 512},    {1025, 0.5, 2.0, 257}, {3000, 0.1, 1.0, 300},
        {40, 3600.0, 512.0, 275}, /* a day and a half, most pieces empty */
    };

    (void)unused;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        fill(rows[i].readings, rows[i].every);
        expect_near(trend.piece_s, rows[i].piece_s, 0.0);
        assert_int_equal(trend.count, rows[i].count);
        expect_pieces(rows[i].readings, rows[i].every);
    }
}

static void a_long_silence_is_no_level(void **unused)
{
    (void)unused;
    handover_trend_init(&trend);
    handover_trend_add(&trend, 0.0, 5.0, 5.0);
    handover_trend_add(&trend, 100.0, 6.0, NAN);
    assert_int_equal(trend.count, 201);
    assert_true(isnan(trend.pieces[1].low) && isnan(trend.pieces[199].high));
    expect_near(trend.pieces[200].low, 6.0, 0.0);
    assert_true(isnan(trend.pieces[200].filtered));
    handover_trend_add(&trend, 1e9, 7.0, 7.0); /* a clock gone wild ends, and in its room */
    assert_true(trend.count > 256 && trend.count <= HANDOVER_TREND);
    expect_near(trend.pieces[0].low, 5.0, 0.0);
    expect_near(trend.pieces[0].high, 6.0, 0.0);
}

static void marks_beyond_the_room_are_counted(void **unused)
{
    (void)unused;
    handover_trend_init(&trend);
    for (int i = 0; i < HANDOVER_MARKS + 3; i++) {
        handover_trend_mark(&trend, i, i % 17);
    }
    assert_int_equal(trend.mark_count, HANDOVER_MARKS);
    assert_int_equal(trend.marks_lost, 3);
    assert_int_equal(trend.marks[20].step, 3);
    expect_near(trend.marks[20].t, 20.0, 0.0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(pieces_grow_with_the_job),
        cmocka_unit_test(a_long_silence_is_no_level),
        cmocka_unit_test(marks_beyond_the_room_are_counted),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
