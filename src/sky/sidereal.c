#include "sky/sidereal.h"

#include <erfa.h>
#include <math.h>

#include "sky/utc.h"

double sidereal_greenwich_rad(double unix_s)
{
    double day, rest;

    utc_julian(unix_s, &day, &rest);
    return eraGmst82(day, rest);
}

void sidereal_to_earth(double unix_s, const double place[3], double ret[3])
{
    double turn = sidereal_greenwich_rad(unix_s), x = place[0], y = place[1];

    ret[0] = x * cos(turn) + y * sin(turn);
    ret[1] = y * cos(turn) - x * sin(turn);
    ret[2] = place[2];
}
