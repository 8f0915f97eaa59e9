/* editor.h - one line of text being typed. Pure. */
#ifndef VIEW_EDITOR_H
#define VIEW_EDITOR_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

enum { EDITOR_SIZE = 240 }; /* bytes of UTF-8, the end included */

struct editor {
    char text[EDITOR_SIZE]; /* UTF-8 */
    size_t at;              /* byte before which the next character goes */
};

void editor_start(struct editor *editor, const char *text);

/* False when it does not fit or can't be shown. */
bool editor_insert(struct editor *editor, uint32_t code);

void editor_delete_before(struct editor *editor);
void editor_delete_at(struct editor *editor);
void editor_delete_word(struct editor *editor);
void editor_delete_to_start(struct editor *editor);
void editor_delete_to_end(struct editor *editor);
void editor_go(struct editor *editor, int characters); /* < 0 = left */
void editor_go_start(struct editor *editor);
void editor_go_end(struct editor *editor);

#endif
