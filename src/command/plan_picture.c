#include "command/plan_picture.h"

#include <math.h>
#include <string.h>

#include "base/text.h"
#include "base/tongue.h"
#include "command/plan_skyline.h"
#include "sky/angle.h"
#include "sky/utc.h"

const double plan_picture_half_deg = 60.0;

/* Rows and columns of the sky itself; the elevation stands to the left of it. */
enum { ROWS = 13, COLUMNS = 72, MARGIN = 5 };

static const double step_s = 600.0;

/* --- the scene ----------------------------------------------------------------------------------
 */

static struct plan_picture_point point_of(const struct plan_picture *picture, double azimuth_deg,
                                          double elevation_deg)
{
    double height_m = picture->job->site.place.height_m;

    return (struct plan_picture_point){
        .right_deg = angle_turn_deg(picture->middle_deg, azimuth_deg),
        .up_deg = elevation_deg + look_refraction_deg(elevation_deg, height_m),
    };
}

static struct plan_picture_point slot_point(const struct plan_picture *picture, double lon_deg)
{
    struct look look = look_at_geostationary(&look_earth_wgs84, &picture->job->site.place, lon_deg);

    return point_of(picture, look.azimuth_deg, look.elevation_deg);
}

void plan_picture_make(const struct plan_aim *aim, const struct plan_sun *sun,
                       struct plan_picture *ret)
{
    const struct job *job = aim->job;
    const struct look *look = &aim->row->look;

    *ret = (struct plan_picture){.job = job, .middle_deg = look->azimuth_deg};
    ret->top_deg = fmin(90.0, fmax(30.0, 10.0 * ceil((look->elevation_deg + 10.0) / 10.0)));
    ret->target = (struct plan_picture_mark){job_target_name(job),
                                             point_of(ret, look->azimuth_deg, look->elevation_deg)};
    for (int i = 0; i < PLAN_PICTURE_ARC; i++) {
        ret->arc[i] = slot_point(ret, job->site.place.lon_deg + i - PLAN_PICTURE_ARC / 2);
    }
    for (size_t i = 0; i < job->neighbour_count; i++) {
        ret->neighbours[ret->neighbour_count++] = (struct plan_picture_mark){
            job->neighbours[i].name, slot_point(ret, job->neighbours[i].lon_deg)};
    }
    ret->sun_count = sun->known ? PLAN_PICTURE_SUN : 0;
    ret->sun_s = step_s * ceil(sun->day_s / step_s);
    for (size_t i = 0; i < ret->sun_count; i++) {
        struct sun s = sun_at(&sun->track, &job->site.place, ret->sun_s + step_s * (double)i);
        ret->sun[i] = point_of(ret, s.azimuth_deg, s.elevation_deg);
    }
}

double plan_picture_skyline_deg(const struct plan_picture *picture, double right_deg)
{
    struct skyline skyline = job_skyline(picture->job);

    return skyline_elevation_deg(&skyline, angle_wrap_deg(picture->middle_deg + right_deg));
}

/* --- as text ------------------------------------------------------------------------------------
 */

struct canvas {
    const struct plan_picture *picture;
    char cells[ROWS][COLUMNS + 1];
};

static int column_of(double right_deg)
{
    return (int)floor((right_deg / plan_picture_half_deg + 1.0) * 0.5 * COLUMNS);
}

static double right_of(int column)
{
    return ((column + 0.5) / COLUMNS * 2.0 - 1.0) * plan_picture_half_deg;
}

/* Row 0 is the highest; the lowest stands on the horizon. */
static int row_of(const struct plan_picture *picture, double up_deg)
{
    return ROWS - 1 - (int)floor(up_deg / picture->top_deg * ROWS);
}

static void dot(struct canvas *canvas, struct plan_picture_point at, char letter)
{
    int row = row_of(canvas->picture, at.up_deg), column = column_of(at.right_deg);

    if (at.up_deg >= 0.0 && row >= 0 && row < ROWS && column >= 0 && column < COLUMNS) {
        canvas->cells[row][column] = letter;
    }
}

static void draw_skyline(struct canvas *canvas)
{
    for (int column = 0; column < COLUMNS; column++) {
        double high = plan_picture_skyline_deg(canvas->picture, right_of(column));
        for (int row = 0; row < ROWS; row++) {
            double middle = (ROWS - row - 0.5) / ROWS * canvas->picture->top_deg;
            if (middle < high) {
                canvas->cells[row][column] = '#';
            }
        }
    }
}

/* The whole hour that begins at a point of the sun's way; -1 = none does. */
static int hour_of(const struct plan_picture *picture, size_t i)
{
    struct utc_date date;

    if (utc_split(picture->sun_s + step_s * (double)i, &date) < 0 || date.minute != 0) {
        return -1;
    }
    return date.hour;
}

static void draw_sun(struct canvas *canvas)
{
    const struct plan_picture *p = canvas->picture;

    for (size_t i = 1; i < p->sun_count; i++) {
        struct plan_picture_point from = p->sun[i - 1], to = p->sun[i];
        double way = angle_turn_deg(from.right_deg, to.right_deg);
        dot(canvas, from, ':');
        dot(canvas,
            (struct plan_picture_point){from.right_deg + 0.5 * way,
                                        0.5 * (from.up_deg + to.up_deg)},
            ':');
    }
    for (size_t i = 0; i < p->sun_count; i++) {
        int hour = hour_of(p, i);
        struct plan_picture_point next = p->sun[i];
        next.right_deg += 2.0 * plan_picture_half_deg / COLUMNS;
        if (hour >= 0) {
            dot(canvas, p->sun[i], (char)('0' + hour / 10));
            dot(canvas, next, (char)('0' + hour % 10));
        }
    }
}

static void draw(struct canvas *canvas)
{
    const struct plan_picture *p = canvas->picture;

    for (int row = 0; row < ROWS; row++) {
        memset(canvas->cells[row], ' ', COLUMNS);
        canvas->cells[row][COLUMNS] = '\0';
    }
    draw_sun(canvas);
    for (size_t i = 0; i < PLAN_PICTURE_ARC; i++) {
        dot(canvas, p->arc[i], '.');
    }
    draw_skyline(canvas);
    for (size_t i = 0; i < p->neighbour_count; i++) {
        dot(canvas, p->neighbours[i].at, 'o');
    }
    dot(canvas, p->target.at, 'X');
}

static void put_line(const struct plan_page *page, const char *line)
{
    size_t n = strlen(line);

    while (n > 0 && line[n - 1] == ' ') {
        n--;
    }
    text_append(page->text, page->size, "%.*s\n", (int)n, line);
}

/* The azimuths below the picture, each over its column. */
static void put_azimuths(const struct plan_picture *picture, const struct plan_page *page)
{
    char line[MARGIN + COLUMNS + 8];

    memset(line, ' ', sizeof line - 1);
    line[sizeof line - 1] = '\0';
    for (double right = -50.0; right <= 50.0; right += 25.0) {
        char text[8];
        int n =
            snprintf(text, sizeof text, "%.0f", angle_wrap_deg(round(picture->middle_deg + right)));
        memcpy(line + MARGIN + column_of(right) - 1, text, (size_t)n);
    }
    put_line(page, line);
}

void plan_picture_text(const struct plan_picture *picture, const struct plan_page *page)
{
    struct canvas canvas = {.picture = picture};
    char line[MARGIN + COLUMNS + 8];
    bool skyline = picture->job->skyline_count + picture->job->object_count > 0;

    draw(&canvas);
    text_append(page->text, page->size, "%s%s%s%s%s\n", _("\nThe sky: X target"),
                picture->neighbour_count ? _(", o neighbours") : "", _(", . arc"),
                skyline ? _(", # skyline") : "",
                picture->sun_count ? _(", : sun with its hours, UTC") : "");
    for (int row = 0; row < ROWS; row++) {
        double low = (ROWS - 1 - row) * picture->top_deg / ROWS;
        double high = (ROWS - row) * picture->top_deg / ROWS;
        double ten = 10.0 * ceil(low / 10.0);
        if (ten < high) {
            snprintf(line, sizeof line, "%3.0f |%s", ten, canvas.cells[row]);
        } else {
            snprintf(line, sizeof line, "    |%s", canvas.cells[row]);
        }
        put_line(page, line);
    }
    put_azimuths(picture, page);
}
