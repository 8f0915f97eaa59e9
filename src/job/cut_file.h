/*
 * cut_file.h - a measured antenna pattern from a text file: degrees off the boresight and the level
 * in dB, parted by a comma or blanks, one reading a line, angles ascending.
 *
 *   # along the width
 *   -2.0, -14.1
 *   0.0, 0.0
 *   2.0, -13.8
 */
#ifndef JOB_CUT_FILE_H
#define JOB_CUT_FILE_H

#include "job/job.h"
#include "radio/radiation.h"

/*
 * Read a file into a finished cut.
 *
 *   returns  0; -EINVAL and why = "FILE:LINE: ..."; -errno when it can't be read, why filled too
 */
int cut_file_read(const char *path, struct radiation_cut *ret, char why[JOB_ERROR_SIZE]);

/* The same from a text; `name` stands for the file in errors. */
int cut_file_read_text(const char *name, const char *text, struct radiation_cut *ret,
                       char why[JOB_ERROR_SIZE]);

#endif
