/* whole_file.h - write a file as a whole: it is there complete, or as it was before. */
#ifndef RECORD_WHOLE_FILE_H
#define RECORD_WHOLE_FILE_H

#include <stddef.h>

/*
 * Write bytes to a file of this name, in the place of one that is there. They go to a new file
 * beside it first, which is made safe on disk and then takes the name. A name that stands for
 * something that is no plain file (/dev/stdout, a pipe) is written to as it is.
 *
 *   returns  0; -errno: the file of this name is what it was
 */
int whole_file_write(const char *path, const void *bytes, size_t size);

#endif
