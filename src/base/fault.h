/*
 * fault.h - what went wrong with a file, a device or a connection, in the language that is spoken:
 * the words of strerror(), which speaks it only where the C library's own catalogues are installed.
 */
#ifndef BASE_FAULT_H
#define BASE_FAULT_H

/*
 * A phrase without a full stop, such as "Permission denied".
 *
 *   error    an errno, positive
 *   returns  the words, valid until the next call
 */
const char *fault_words(int error);

#endif
