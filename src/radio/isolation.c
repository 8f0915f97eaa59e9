#include "radio/isolation.h"

#include <math.h>

#include "sky/angle.h"

double isolation_db(double error_deg, double xpd_db)
{
    double t = tan(error_deg * ANGLE_RAD_PER_DEG);

    return -10.0 * log10(t * t + pow(10.0, -xpd_db / 10.0));
}

double isolation_allowed_error_deg(double wanted_db, double xpd_db)
{
    double left = pow(10.0, -wanted_db / 10.0) - pow(10.0, -xpd_db / 10.0);

    return left > 0.0 ? atan(sqrt(left)) / ANGLE_RAD_PER_DEG : NAN;
}

double isolation_copolar_loss_db(double error_deg)
{
    return -20.0 * log10(fabs(cos(error_deg * ANGLE_RAD_PER_DEG)));
}
