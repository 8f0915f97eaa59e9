/* Drawn pages: what they hold, what they survive. Texts are read from the SVG's description. */
#include "expect.h"

#include <errno.h>
#include <stdlib.h>
#include <string.h>

#include "base/text.h"
#include "record/drawing.h"
#include "record/drawn/chart.h"
#include "record/drawn/paper.h"
#include "record/handover_fold.h"
#include "record/handover_judge.h"

extern const struct drawing_ops peakward_drawing;

static struct job job;
static struct procedure procedure;
static struct magnetic_model magnetic;
static struct handover handover;

static void set(const char *section, const char *key, const char *value)
{
    char why[JOB_ERROR_SIZE];

    assert_int_equal(job_set(&job, section, key, value, why), 0);
}

static void add_step(const char *name)
{
    char section[PROCEDURE_NAME_SIZE + 8], why[JOB_ERROR_SIZE];

    snprintf(section, sizeof section, "step %s", name);
    assert_int_equal(procedure_set(&procedure, section, "do", "confirm", why, sizeof why), 0);
    assert_int_equal(procedure_set(&procedure, section, "text", "So it is.", why, sizeof why), 0);
}

/* A job of which nothing has happened yet. */
static int make_empty(void **unused)
{
    static struct handover_fold fold;

    (void)unused;
    job_init(&job);
    set("target", "name", "Ptarmigan 1");
    set("target", "longitude", "22.4E");
    set("target", "polarisation", "V");
    procedure_init(&procedure, "own");
    add_step("heights");
    magnetic_builtin(&magnetic);
    handover_fold_init(&fold, &handover, &job, &procedure, &magnetic);
    handover_fold_finish(&fold);
    handover_judge(&handover);
    text_copy(handover.software, sizeof handover.software, "peakward");
    return 0;
}

/* The document of so many times the record; to be freed. */
static char *draw(enum drawing_kind kind, int times, size_t *ret_size)
{
    char *bytes = NULL;
    FILE *file = open_memstream(&bytes, ret_size);
    struct drawing *drawing = NULL;

    assert_non_null(file);
    assert_int_equal(peakward_drawing.start(&drawing, kind, file, "peakward"), 0);
    for (int i = 0; i < times; i++) {
        assert_int_equal(peakward_drawing.add(drawing, &handover), 0);
    }
    assert_int_equal(peakward_drawing.finish(drawing), 0);
    assert_int_equal(fclose(file), 0);
    return bytes;
}

/* What is said on the page, a line a text; to be freed. */
static char *words_of_page(void)
{
    size_t size;
    char *svg = draw(DRAWING_SVG, 1, &size), *from = strstr(svg, "<desc>"), *to, *words;

    assert_non_null(from);
    to = strstr(from, "</desc>");
    assert_non_null(to);
    words = strndup(from + 6, (size_t)(to - from - 6));
    free(svg);
    return words;
}

static int count(const char *text, const char *what)
{
    int n = 0;

    for (const char *p = strstr(text, what); p; p = strstr(p + strlen(what), what)) {
        n++;
    }
    return n;
}

static void expect_words(const char *words, bool there)
{
    char *page = words_of_page();

    if ((strstr(page, words) != NULL) != there) {
        fputs(page, stderr);
        fail_msg("\"%s\" is %s", words, there ? "missing" : "there");
    }
    free(page);
}

static void what_was_not_measured_is_called_so(void **unused)
{
    char *page = words_of_page();

    (void)unused;
    assert_non_null(strstr(page, "not measured: no meter said anything"));
    assert_non_null(strstr(page, "Not measured: the log has no levels."));
    assert_int_equal(count(page, "Not measured\n"), 3); /* a lobe an axis */
    assert_null(strstr(page, "dB"));
    assert_int_equal(count(page, "\u00b0"), 1); /* the satellite's longitude */
    assert_null(strstr(page, "nan"));
    assert_null(strstr(page, "inf"));
    free(page);
}

static void a_verdict_is_a_word(void **unused)
{
    static const char *const words[] = {"\nmet\n", "\nnot met\n", "\nnot measured\n"};

    (void)unused;
    for (int verdict = HANDOVER_MET; verdict <= HANDOVER_NOT_MEASURED; verdict++) {
        handover.check_count = 1;
        handover.checks[0].verdict = (enum handover_verdict)verdict;
        expect_words(words[verdict], true);
    }
}

static void the_same_record_gives_the_same_bytes(void **unused)
{
    size_t first_size, second_size;
    /* an SVG's names are counted on in a process: two of them are compared by drawn.py */
    char *first = draw(DRAWING_PDF, 2, &first_size), *second = draw(DRAWING_PDF, 2, &second_size);

    (void)unused;
    assert_int_equal(first_size, second_size);
    assert_memory_equal(first, second, first_size);
    free(first);
    free(second);
}

static void add_note(const char *text)
{
    handover.notes[handover.note_count].t = handover.note_count;
    text_copy(handover.notes[handover.note_count].text,
              sizeof handover.notes[handover.note_count].text, text);
    handover.note_count++;
}

static void text_from_outside_does_no_harm(void **unused)
{
    static const struct {
        const char *note, *want; /* as the description has it */
    } rows[] = {
        {"a <b> & \"c\"", "a &lt;b&gt; &amp; &quot;c&quot;"},
        {"bell\a, tab\t, escape\x1b[31m", "bell?, tab?, escape?[31m"},
        {"cut \xe2\x82", "cut ??"},
        {"lone \xff byte", "lone ? byte"},
        /* UAX 9: an override would show 12 as 21 */
        {"turned \u202e12\u202c", "turned ?12?"},
        {"isolated \u2067x\u2069", "isolated ?x?"},
        {"\u05e9\u05dc\u05d5\u05dd 12", "\u05e9\u05dc\u05d5\u05dd 12"},
        {"\U0001F9CA\u4e2d\ue000", "\U0001F9CA\u4e2d\ue000"}, /* hardly in any font here */
        {"two\nlines", "two?lines"},
    };

    (void)unused;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        handover.note_count = 0;
        add_note(rows[i].note);
        expect_words(rows[i].want, true);
    }
}

static void what_has_no_room_is_counted(void **unused)
{
    char *page, text[RECORD_TEXT_SIZE];
    const char *more;
    int shown;

    (void)unused;
    for (int i = 0; i < HANDOVER_NOTES; i++) {
        snprintf(text, sizeof text, "note-%02d%*s.", i, 150, "word word word word word");
        add_note(text);
    }
    handover.notes_lost = 5;
    page = words_of_page();
    shown = count(page, "note-");
    more = strstr(page, "\nand ");
    assert_in_range(shown, 3, HANDOVER_NOTES - 1);
    assert_non_null(more);
    assert_int_equal(atoi(more + 5), HANDOVER_NOTES + 5 - shown);
    free(page);
}

static void no_line_of_the_judgement_is_lost(void **unused)
{
    size_t size;
    char *pdf, *svg, *page, text[PROCEDURE_TEXT_SIZE];

    (void)unused;
    handover.check_count = HANDOVER_CHECKS;
    for (int i = 0; i < HANDOVER_CHECKS; i++) {
        handover.checks[i] = (struct handover_check){.step = -1, .verdict = HANDOVER_NOT_MET};
        snprintf(handover.checks[i].what, sizeof handover.checks[i].what, "check-%02d", i);
        snprintf(text, sizeof text, "%*s.", 200, "very long words that are asked for");
        text_copy(handover.checks[i].limit, sizeof handover.checks[i].limit, text);
        text_copy(handover.checks[i].found, sizeof handover.checks[i].found, text);
    }
    page = words_of_page();
    assert_int_equal(count(page, "check-"), HANDOVER_CHECKS);
    free(page);
    pdf = draw(DRAWING_PDF, 1, &size);
    assert_non_null(memmem(pdf, size, "/Count 2", 8)); /* pages: ISO 32000-1, 7.7.3 */
    free(pdf);
    svg = draw(DRAWING_SVG, 1, &size);
    assert_non_null(strstr(svg, "viewBox=\"0 0 595.275591 1683.779528\"")); /* two of A4 */
    free(svg);
}

static void records_follow_each_other_in_a_pdf(void **unused)
{
    size_t size;
    char *pdf = draw(DRAWING_PDF, 3, &size);

    (void)unused;
    assert_memory_equal(pdf, "%PDF-", 5);
    assert_non_null(memmem(pdf, size, "/Count 3", 8));
    assert_null(memmem(pdf, size, "/CreationDate", 13));
    free(pdf);
}

static void an_svg_holds_one(void **unused)
{
    struct drawing *drawing = NULL;
    char *bytes = NULL;
    size_t size;
    FILE *file = open_memstream(&bytes, &size);

    (void)unused;
    assert_int_equal(peakward_drawing.start(&drawing, DRAWING_SVG, file, "peakward"), 0);
    assert_int_equal(peakward_drawing.add(drawing, &handover), 0);
    assert_int_equal(peakward_drawing.add(drawing, &handover), -EMLINK);
    assert_int_equal(peakward_drawing.finish(drawing), 0);
    fclose(file);
    free(bytes);
    assert_int_equal(peakward_drawing.finish(NULL), 0);
}

static void a_full_disk_is_told(void **unused)
{
    (void)unused;
    for (int kind = DRAWING_PDF; kind <= DRAWING_SVG; kind++) {
        struct drawing *drawing = NULL;
        FILE *file = fopen("/dev/full", "wb");
        assert_non_null(file);
        setvbuf(file, NULL, _IONBF, 0);
        assert_int_equal(
            peakward_drawing.start(&drawing, (enum drawing_kind)kind, file, "peakward"), 0);
        peakward_drawing.add(drawing, &handover);
        assert_int_equal(peakward_drawing.finish(drawing), -ENOSPC);
        fclose(file);
    }
}

/* Readings of the parabola 13 - 12 (x / 2)^2 about 359.5 degrees, over north. */
static void make_lobe(struct handover_lobe *lobe)
{
    lobe->known = lobe->fitted = lobe->true_angles = true;
    lobe->by = HANDOVER_LOBE_STATIONS;
    lobe->count = lobe->read = 5;
    for (int i = 0; i < 5; i++) {
        double off = 0.4 * (i - 2);
        lobe->readings[i] =
            (struct handover_reading){(float)(359.5 + off), (float)(13.0 - 3.0 * off * off), 0};
    }
    lobe->centre_deg = 360.0 + 0.25;
    lobe->centre_error_deg = 0.03;
    lobe->top_level = 13.0;
    lobe->width_deg = 2.0;
    lobe->stands_deg = 359.5;
    lobe->expected_width_deg = lobe->below_top = NAN;
}

static void a_lobe_is_told_in_words_too(void **unused)
{
    struct handover_lobe *lobe = &handover.axes[AXIS_AZIMUTH].lobe;

    (void)unused;
    make_lobe(lobe);
    expect_words(
        "Centre 0.25\u00b0 \u00b1 0.03\u00b0, -3 dB width 2.00\u00b0. Left at 359.50\u00b0.", true);
    expect_words("\n0\u00b0\n", true); /* a tick over north */
    lobe->bracket = true;              /* only the middle is known: no curve, no width */
    expect_words("-3 dB", false);
    lobe->fitted = false;
    expect_words("No top was fitted.", true);
    lobe->true_angles = false;
    expect_words("Degrees of bolt turned, counted.", true);
}

static void a_trend_has_its_lines(void **unused)
{
    (void)unused;
    handover.trend.count = 100;
    handover.trend.piece_s = 2.0;
    handover.duration_s = 200.0;
    for (int i = 0; i < 100; i++) {
        bool gap = i > 40 && i < 60;
        handover.trend.pieces[i] =
            (struct handover_piece){gap ? NAN : 3.0F, gap ? NAN : 3.4F, 3.2F};
    }
    handover.trend.marks[0].t = 50.0;
    handover.trend.mark_count = 1;
    handover.level.unit = LEVEL_DB;
    handover.level.best = 12.0;
    expect_words("best 12.00 dB", true);
    expect_words("expected", false);
    expect_words("\n3.0 min\n", true);
}

static void numbers_without_sense_do_no_harm(void **unused)
{
    static const double values[] = {0.0, -0.0, 1e300,    -1e300,   1e-300,
                                    1e9, NAN,  INFINITY, -INFINITY};
    enum { VALUES = sizeof values / sizeof *values };

    (void)unused;
    for (int i = 0; i < 2 * VALUES; i++) {
        double a = values[i % VALUES], b = i < VALUES ? 1.0 : values[(i + 2) % VALUES];
        size_t size;
        struct handover_lobe *lobe = &handover.axes[i % AXIS_COUNT].lobe;
        make_lobe(lobe);
        lobe->readings[i % 5] = (struct handover_reading){(float)a, (float)b, 1};
        lobe->width_deg = a;
        lobe->centre_deg = b;
        lobe->stands_deg = lobe->below_top = a;
        handover.axes[i % AXIS_COUNT].found_deg = a;
        handover.axes[i % AXIS_COUNT].computed_deg = b;
        handover.trend.count = 2;
        handover.trend.piece_s = handover.duration_s = fabs(a);
        handover.trend.pieces[0] = (struct handover_piece){(float)b, (float)a, (float)b};
        handover.trend.pieces[1] = (struct handover_piece){1.0F, 2.0F, (float)a};
        handover.trend.marks[0].t = b;
        handover.trend.mark_count = 1;
        handover.level.best = handover.level.final = handover.isolation.db = a;
        handover.level.measured = true;
        handover.begun_utc_s = handover.site.lat_deg = b;
        free(draw(DRAWING_PDF, 1, &size));
    }
}

static void a_chart_places_values_at_its_edges(void **unused)
{
    struct paper *paper;
    char *bytes = NULL;
    size_t size;
    FILE *file = open_memstream(&bytes, &size);
    struct chart chart;

    (void)unused;
    assert_int_equal(paper_open(&paper, DRAWING_PDF, file, "", ""), 0);
    chart_set(&chart, paper, (struct paper_box){100.0, 200.0, 300.0, 150.0}, -1.0, 3.0, 0.2, 9.7,
              2.0);
    assert_true(chart.low <= 0.2 && chart.high >= 9.7);
    expect_near(chart_x(&chart, -1.0), chart.box.x, 1e-9);
    expect_near(chart_x(&chart, 3.0), chart.box.x + chart.box.width, 1e-9);
    expect_near(chart_y(&chart, chart.low), chart.box.y + chart.box.height, 1e-9);
    expect_near(chart_y(&chart, chart.high), chart.box.y, 1e-9);
    assert_true(chart.box.x > 100.0 && chart.box.x + chart.box.width < 400.0);
    assert_true(chart.box.y > 200.0 && chart.box.y + chart.box.height < 350.0);
    assert_int_equal(paper_close(paper), 0);
    fclose(file);
    free(bytes);
}

static void text_wraps_and_stops(void **unused)
{
    struct paper *paper;
    char *bytes = NULL, text[400] = "";
    size_t size;
    FILE *file = open_memstream(&bytes, &size);
    double line;

    (void)unused;
    assert_int_equal(paper_open(&paper, DRAWING_PDF, file, "", ""), 0);
    line = paper_line_height(paper, STYLE_BODY);
    for (int i = 0; i < 40; i++) {
        text_append(text, sizeof text, "word ");
    }
    paper_rehearse_begin(paper);
    expect_near(paper_text(paper, STYLE_BODY, PEN_DARK, ALIGN_LEFT, 0, 0, 100.0, 3, text),
                3.0 * line, 0.1);
    expect_near(paper_text(paper, STYLE_BODY, PEN_DARK, ALIGN_LEFT, 0, 0, 100.0, 3, "word"), line,
                0.1);
    expect_near(paper_text(paper, STYLE_BODY, PEN_DARK, ALIGN_LEFT, 0, 0, 100.0, 3, ""), 0.0, 0.0);
    paper_rehearse_end(paper);
    assert_true(paper_text_width(paper, STYLE_BODY, "word word") >
                1.9 * paper_text_width(paper, STYLE_BODY, "word"));
    assert_int_equal(paper_close(paper), 0);
    fclose(file);
    free(bytes);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup(what_was_not_measured_is_called_so, make_empty),
        cmocka_unit_test_setup(a_verdict_is_a_word, make_empty),
        cmocka_unit_test_setup(the_same_record_gives_the_same_bytes, make_empty),
        cmocka_unit_test_setup(text_from_outside_does_no_harm, make_empty),
        cmocka_unit_test_setup(what_has_no_room_is_counted, make_empty),
        cmocka_unit_test_setup(no_line_of_the_judgement_is_lost, make_empty),
        cmocka_unit_test_setup(records_follow_each_other_in_a_pdf, make_empty),
        cmocka_unit_test_setup(an_svg_holds_one, make_empty),
        cmocka_unit_test_setup(a_full_disk_is_told, make_empty),
        cmocka_unit_test_setup(a_lobe_is_told_in_words_too, make_empty),
        cmocka_unit_test_setup(a_trend_has_its_lines, make_empty),
        cmocka_unit_test_setup(numbers_without_sense_do_no_harm, make_empty),
        cmocka_unit_test(a_chart_places_values_at_its_edges),
        cmocka_unit_test(text_wraps_and_stops),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
