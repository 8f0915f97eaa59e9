#include "command/plan_link.h"

#include <math.h>
#include <stdio.h>

#include "base/text.h"
#include "base/tongue.h"
#include "radio/isolation.h"

const double plan_link_errors_deg[PLAN_LINK_ERRORS] = {0.0, 1.0, 2.0, 5.0};

/* --- numbers ------------------------------------------------------------------------------------
 */

/* The polarisation as it lies in the air, from the horizontal: rain takes more of a flat one. */
static double tilt_deg(const struct plan_aim *aim)
{
    double skew = aim->row->skew_deg;

    return isnan(skew)                                       ? 45.0
           : aim->job->target.polarisation == POLARISATION_H ? skew
                                                             : 90.0 - skew;
}

static void add_isolation(const struct job *job, struct plan_link *ret)
{
    double own = job->antenna.cross_polar_db;

    ret->linear = job->target.polarisation != POLARISATION_CIRCULAR;
    for (int i = 0; i < PLAN_LINK_ERRORS; i++) {
        ret->isolation_db[i] = isolation_db(plan_link_errors_deg[i], own);
    }
    ret->allowed_deg =
        isolation_allowed_error_deg(job->link.isolation_db, isfinite(own) ? own : INFINITY);
}

void plan_link_make(const struct plan_aim *aim, struct plan_link *ret)
{
    const struct job *job = aim->job;
    const struct link_given given = {.eirp_dbw = job->link.eirp_dbw,
                                     .frequency_ghz = job->antenna.frequency_ghz,
                                     .range_km = aim->row->look.range_km,
                                     .elevation_deg = aim->row->elevation_apparent_deg,
                                     .height_m = job->site.place.height_m,
                                     .gt_dbk = plan_aim_gt_dbk(job),
                                     .noise_k = plan_aim_noise_k(job),
                                     .rain_mm_h = job->link.rain_mm_h,
                                     .rain_path_km = job->link.rain_path_km,
                                     .tilt_deg = tilt_deg(aim),
                                     .symbol_rate_mbd = job->link.symbol_rate_mbd};

    *ret = (struct plan_link){.gt_dbk = given.gt_dbk, .tenth_mbps = NAN};
    ret->budget = link_budget(&given);
    ret->known = isfinite(ret->budget.cn0_dbhz);
    if (isfinite(ret->budget.esn0_db)) {
        ret->clear = modcods_choose(job->link.standard, ret->budget.esn0_db, job->link.margin_db);
    }
    ret->tenth_mbps =
        job->link.symbol_rate_mbd *
        modcods_tenth_bits(job->link.standard, ret->budget.esn0_db, job->link.margin_db);
    if (isfinite(ret->budget.rain_esn0_db)) {
        ret->rain =
            modcods_choose(job->link.standard, ret->budget.rain_esn0_db, job->link.margin_db);
    }
    add_isolation(job, ret);
}

/* --- text ---------------------------------------------------------------------------------------
 */

static void modcod_words(const struct job *job, const struct modcods_choice *choice,
                         const char *weather, const struct plan_page *page)
{
    double rate = job->link.symbol_rate_mbd;

    if (!choice->best) {
        plan_page_words(page, _("%s no modulation of %s holds."), weather,
                        job->link.standard == MODCODS_S2X ? "DVB-S2X" : "DVB-S2");
        return;
    }
    plan_page_words(page, _("%s %s holds with %.1f dB to spare: %.1f Mbit/s at most."), weather,
                    choice->best->name, choice->spare_db, modcods_rate_mbps(choice->best, rate));
    if (choice->below) {
        plan_page_words(page, _("A loss of more than that falls back to %s, %.1f Mbit/s."),
                        choice->below->name, modcods_rate_mbps(choice->below, rate));
    } else {
        plan_page_words(page, _("A loss of more than that is the end of the link."));
    }
    if (choice->above) {
        plan_page_words(page, _("%.1f dB more would give %s, %.1f Mbit/s."), choice->missing_db,
                        choice->above->name, modcods_rate_mbps(choice->above, rate));
    }
}

static void budget_rows(const struct plan_aim *aim, const struct plan_link *link,
                        const struct plan_page *page)
{
    const struct link_budget *b = &link->budget;
    const struct job *job = aim->job;

    plan_page_number(page, _("losses"), b->free_space_db, 1, "dB", "%s",
                     isfinite(b->gas_db) ? _("free space")
                                         : _("free space; gas is not known for this case"));
    if (isfinite(b->gas_db)) {
        plan_page_number(page, _("  gas"), b->gas_db, 2, "dB", _("average air"));
    }
    plan_page_number(page, _("C/N0, clear sky"), b->cn0_dbhz, 1, "dBHz",
                     _("from %.1f dBW and G/T of %.1f dB/K"), job->link.eirp_dbw, link->gt_dbk);
    if (isfinite(b->esn0_db)) {
        plan_page_number(page, _("Es/N0, clear sky"), b->esn0_db, 1, "dB",
                         _("C/N in the symbol rate of %g MBd"), job->link.symbol_rate_mbd);
    }
    if (isfinite(b->rain_db)) {
        plan_page_number(page, _("rain"), b->rain_db, 1, "dB",
                         _("%g mm/h over %g km; noise up %.1f dB"), job->link.rain_mm_h,
                         job->link.rain_path_km, b->rain_noise_db);
        if (isfinite(b->rain_esn0_db)) {
            plan_page_number(page, _("Es/N0 in it"), b->rain_esn0_db, 1, "dB", "%s", "");
        }
    }
}

static void isolation_rows(const struct job *job, const struct plan_link *link,
                           const struct plan_page *page)
{
    if (isfinite(job->antenna.cross_polar_db)) {
        plan_page_number(page, _("isolation"), link->isolation_db[0], 1, "dB",
                         _("at best; %.1f, %.1f, %.1f when 1, 2, 5 deg off"), link->isolation_db[1],
                         link->isolation_db[2], link->isolation_db[3]);
    }
    if (isfinite(link->allowed_deg)) {
        plan_page_number(page, _("skew may be off"), link->allowed_deg, 1, _("deg"),
                         _("for the %g dB of isolation wanted"), job->link.isolation_db);
    } else if (isfinite(job->link.isolation_db)) {
        plan_page_words(page, _("The antenna itself does not reach the %g dB of isolation wanted."),
                        job->link.isolation_db);
    }
}

void plan_link_text(const struct plan_aim *aim, const struct plan_link *link,
                    const struct plan_page *page)
{
    const struct job *job = aim->job;
    bool isolation =
        link->linear && (isfinite(job->antenna.cross_polar_db) || isfinite(job->link.isolation_db));

    if (!link->known && !isolation) {
        return;
    }
    plan_page_head(page, _("Signal to expect"));
    if (link->known) {
        budget_rows(aim, link, page);
    }
    if (link->known && isfinite(link->budget.esn0_db)) {
        modcod_words(job, &link->clear, _("In clear sky"), page);
    }
    if (link->known && link->tenth_mbps > 0.0) {
        plan_page_words(page, _("Each tenth of a dB lost costs %.1f Mbit/s on average."),
                        link->tenth_mbps);
    }
    if (link->known && isfinite(link->budget.rain_esn0_db)) {
        modcod_words(job, &link->rain, _("In the rain"), page);
    }
    if (isolation) {
        isolation_rows(job, link, page);
    }
}

/* --- JSON ---------------------------------------------------------------------------------------
 */

static void put_modcod(json_t *object, const char *key, const struct modcod *modcod, double rate)
{
    json_t *inner = json_object();

    if (!modcod) {
        json_decref(inner);
        json_object_set_new(object, key, json_null());
        return;
    }
    plan_page_put_text(inner, "name", modcod->name);
    plan_page_put(inner, "threshold_db", modcod->threshold_db);
    plan_page_put(inner, "rate_mbps", modcods_rate_mbps(modcod, rate));
    json_object_set_new(object, key, inner);
}

static json_t *choice_json(const struct modcods_choice *choice, double rate)
{
    json_t *object = json_object();

    put_modcod(object, "best", choice->best, rate);
    plan_page_put(object, "spare_db", choice->best ? choice->spare_db : NAN);
    put_modcod(object, "below", choice->below, rate);
    put_modcod(object, "above", choice->above, rate);
    plan_page_put(object, "missing_db", choice->above ? choice->missing_db : NAN);
    return object;
}

json_t *plan_link_json(const struct plan_aim *aim, const struct plan_link *link)
{
    const struct link_budget *b = &link->budget;
    double rate = aim->job->link.symbol_rate_mbd;
    json_t *object;

    if (!link->known) {
        return json_null();
    }
    object = json_object();
    plan_page_put(object, "eirp_dbw", aim->job->link.eirp_dbw);
    plan_page_put(object, "gt_dbk", link->gt_dbk);
    plan_page_put(object, "symbol_rate_mbd", rate);
    plan_page_put(object, "margin_db", aim->job->link.margin_db);
    plan_page_put(object, "free_space_db", b->free_space_db);
    plan_page_put(object, "gas_db", b->gas_db);
    plan_page_put(object, "cn0_dbhz", b->cn0_dbhz);
    plan_page_put(object, "esn0_db", b->esn0_db);
    plan_page_put(object, "tenth_db_mbps", link->tenth_mbps);
    plan_page_put(object, "rain_db", b->rain_db);
    plan_page_put(object, "rain_noise_db", b->rain_noise_db);
    plan_page_put(object, "rain_cn0_dbhz", b->rain_cn0_dbhz);
    plan_page_put(object, "rain_esn0_db", b->rain_esn0_db);
    json_object_set_new(object, "modulation",
                        isfinite(b->esn0_db) ? choice_json(&link->clear, rate) : json_null());
    json_object_set_new(object, "modulation_rain",
                        isfinite(b->rain_esn0_db) ? choice_json(&link->rain, rate) : json_null());
    return object;
}

json_t *plan_link_isolation_json(const struct plan_aim *aim, const struct plan_link *link)
{
    json_t *object, *errors;

    if (!link->linear) {
        return json_null();
    }
    object = json_object();
    errors = json_array();
    for (int i = 0; i < PLAN_LINK_ERRORS; i++) {
        json_t *error = json_object();
        plan_page_put(error, "error_deg", plan_link_errors_deg[i]);
        plan_page_put(error, "isolation_db", link->isolation_db[i]);
        json_array_append_new(errors, error);
    }
    json_object_set_new(object, "errors", errors);
    plan_page_put(object, "wanted_db", aim->job->link.isolation_db);
    plan_page_put(object, "allowed_error_deg", link->allowed_deg);
    return object;
}
