#include "command/plan_row.h"

#include <math.h>
#include <string.h>

#include "sky/angle.h"

const char plan_row_columns[] = "azimuth_deg,azimuth_magnetic_deg,declination_deg,magnetic_zone,"
                                "elevation_deg,elevation_apparent_deg,skew_deg,range_km,visible";

/* One model's span out of its years the declination has moved on by a degree: still a help beside a
 * compass. Any further and a number would be a guess. Our own choice. */
static const double stale_years = 5.0;

bool plan_row_magnetic_known(const struct magnetic_model *model, double year)
{
    return year >= model->valid_from - stale_years && year <= model->valid_to + stale_years;
}

const char *plan_row_zone(const struct magnetic_field *field)
{
    return field->blackout ? "blackout" : field->weak ? "caution" : "normal";
}

void plan_row_make(const struct plan_row_given *given, const struct magnetic_moment *moment,
                   bool magnetic_known, struct plan_row *ret)
{
    const struct look_site *site = &given->site;
    double skew;

    ret->look = look_at_geostationary(&look_earth_wgs84, site, given->target_lon_deg);
    ret->elevation_apparent_deg =
        ret->look.elevation_deg + look_refraction_deg(ret->look.elevation_deg, site->height_m);
    ret->visible = ret->elevation_apparent_deg >= 0.0;
    skew = given->polarisation == POLARISATION_H ? ret->look.skew_h_deg : ret->look.skew_v_deg;
    ret->skew_deg = given->polarisation == POLARISATION_CIRCULAR
                        ? NAN
                        : angle_wrap_axial_deg(skew + given->skew_offset_deg);
    ret->field = magnetic_moment_at(moment, site->lat_deg, site->lon_deg, site->height_m);
    if (!magnetic_known) {
        ret->field.declination_deg = NAN;
    }
    ret->azimuth_magnetic_deg = angle_wrap_deg(ret->look.azimuth_deg - ret->field.declination_deg);
}

/* --- text: printf("%.7f") takes longer than all of the above -----------------------------------
 */

static char *put_digits(char *p, unsigned long long value, int least)
{
    char digits[24];
    int n = 0;

    do {
        digits[n++] = (char)('0' + value % 10);
        value /= 10;
    } while (value > 0 || n < least);
    while (n > 0) {
        *p++ = digits[--n];
    }
    return p;
}

/* Fixed decimals, rounded to nearest, never "-0"; nothing for NaN. |value| below 1e9. */
static char *put_fixed(char *p, double value, int decimals, double unit)
{
    long long scaled, per = 1;

    if (!isfinite(value)) {
        return p;
    }
    scaled = llround(value * unit);
    for (int i = 0; i < decimals; i++) {
        per *= 10;
    }
    if (scaled < 0) {
        *p++ = '-';
        scaled = -scaled;
    }
    p = put_digits(p, (unsigned long long)(scaled / per), 1);
    *p++ = '.';
    return put_digits(p, (unsigned long long)(scaled % per), decimals);
}

static char *put_degrees(char *p, double deg)
{
    p = put_fixed(p, deg, 7, 1e7);
    *p++ = ',';
    return p;
}

/* A heading that would round up to a full turn is north. */
static char *put_heading(char *p, double deg)
{
    return put_degrees(p, deg >= 360.0 - 0.5e-7 ? 0.0 : deg);
}

static char *put_word(char *p, const char *word)
{
    size_t n = strlen(word);

    memcpy(p, word, n);
    return p + n;
}

size_t plan_row_csv(const struct plan_row *row, char ret[PLAN_ROW_SIZE])
{
    char *p = ret;

    p = put_heading(p, row->look.azimuth_deg);
    p = put_heading(p, row->azimuth_magnetic_deg);
    p = put_degrees(p, row->field.declination_deg);
    p = put_word(p, plan_row_zone(&row->field));
    *p++ = ',';
    p = put_degrees(p, row->look.elevation_deg);
    p = put_degrees(p, row->elevation_apparent_deg);
    p = put_degrees(p, row->skew_deg);
    p = put_fixed(p, row->look.range_km, 6, 1e6);
    *p++ = ',';
    p = put_word(p, row->visible ? "true" : "false");
    *p = '\0';
    return (size_t)(p - ret);
}
