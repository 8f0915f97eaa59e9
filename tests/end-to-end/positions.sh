#!/bin/sh
# The batch's positions against GeographicLib's CartConvert, computed anew for this run: the
# satellite in each site's own horizon, east, north and up. 42164.17 km is 35786033 m above the
# equator of WGS84.
#
#   positions.sh PEAKWARD
set -eu
export LANGUAGE=en
peakward=$1
command -v CartConvert >/dev/null || exit 77
dir=$(mktemp -d)
trap 'rm -rf "$dir"' EXIT

awk 'BEGIN {
    srand(1)
    print "lat,lon,height_m,target"
    for (i = 0; i < 300; i++)
        printf "%.6f,%.6f,%.1f,%.4f\n", 178 * rand() - 89, 360 * rand() - 180, 5000 * rand(),
            360 * rand() - 180
}' >"$dir/sites.csv"

tail -n +2 "$dir/sites.csv" | while IFS=, read -r lat lon height target; do
    CartConvert -l "$lat" "$lon" "$height" -p 6 --input-string "0 $target 35786033"
done >"$dir/true.txt"

"$peakward" plan --batch "$dir/sites.csv" --pol V >"$dir/out.csv"
tail -n +2 "$dir/out.csv" | tr , ' ' | paste -d ' ' - "$dir/true.txt" | awk '
    function far(a, b) { a -= b; while (a > 180) a -= 360; while (a < -180) a += 360; return a < 0 ? -a : a }
    {
        # lat lon height target azimuth magnetic declination zone elevation apparent skew range visible e n u
        e = $14; n = $15; u = $16; rad = atan2(0, -1) / 180
        flat = sqrt(e * e + n * n)
        azimuth = far($5, atan2(e, n) / rad)
        elevation = far($9, atan2(u, flat) / rad)
        range = $12 - sqrt(flat * flat + u * u) / 1000
        # a nanometre of rounding beside the zenith turns the azimuth by more
        if (azimuth * flat / (flat + u * (u > 0)) > 2e-7 || elevation > 2e-7 || range > 2e-6 || range < -2e-6) {
            print "row " NR ": off by " azimuth " and " elevation " deg, " range " km"
            bad++
        }
        rows++
    }
    END { print rows " positions compared"; exit rows != 300 || bad > 0 }'
