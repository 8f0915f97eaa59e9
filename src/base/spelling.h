/* spelling.h - the word that was probably meant: a hint after a slip of the keys. Pure. */
#ifndef BASE_SPELLING_H
#define BASE_SPELLING_H

/* A search for the candidate nearest to a word. */
struct spelling {
    const char *word;    /* borrowed: what was written */
    const char *nearest; /* borrowed: the best candidate so far; NULL = none is near */
    int slips;           /* of the best */
};

void spelling_start(struct spelling *spelling, const char *word);

/*
 * One more candidate. It is near when a third of its letters or fewer are wrong, missing or too
 * many (Levenshtein's distance), or when one of the two words, of three letters at least, begins
 * the other.
 */
void spelling_try(struct spelling *spelling, const char *candidate);

#endif
