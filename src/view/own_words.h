/*
 * own_words.h - words that a face obeys itself, because they concern who looks and listens and not
 * the session: they are in no log and mean the same in a replay. The others are of words.h. Pure.
 */
#ifndef VIEW_OWN_WORDS_H
#define VIEW_OWN_WORDS_H

enum own_word {
    OWN_WORD_NONE,  /* it is for the session */
    OWN_WORD_NOW,   /* say how all stands */
    OWN_WORD_TONE,  /* hear the level, or be quiet */
    OWN_WORD_ALOUD, /* hear what the coach says, or be quiet */
};

/* What a line says; blanks around it and capitals do not matter. */
enum own_word own_word_find(const char *line);

#endif
