/* plan_link.h - the sheet's part about the signal: link budget, modulation, isolation. Pure. */
#ifndef COMMAND_PLAN_LINK_H
#define COMMAND_PLAN_LINK_H

#include "command/plan_aim.h"
#include "command/plan_page.h"
#include "radio/link.h"
#include "radio/modcods.h"

enum { PLAN_LINK_ERRORS = 4 };

/* The skew errors that the isolation is named for, in degrees. */
extern const double plan_link_errors_deg[PLAN_LINK_ERRORS];

struct plan_link {
    bool known; /* EIRP, frequency and G/T are */
    double gt_dbk;
    struct link_budget budget;
    struct modcods_choice clear, rain; /* best NULL also when the symbol rate is not known */
    double tenth_mbps; /* what a tenth of a dB costs in clear sky, on average; NaN = not known */

    bool linear;                           /* there is a skew to be wrong */
    double isolation_db[PLAN_LINK_ERRORS]; /* NaN = the antenna's own is not known */
    double allowed_deg;                    /* skew error that leaves the wanted one; NaN = none */
};

void plan_link_make(const struct plan_aim *aim, struct plan_link *ret);
void plan_link_text(const struct plan_aim *aim, const struct plan_link *link,
                    const struct plan_page *page);

/* New references; null when not known. */
json_t *plan_link_json(const struct plan_aim *aim, const struct plan_link *link);
json_t *plan_link_isolation_json(const struct plan_aim *aim, const struct plan_link *link);

#endif
