#include "view/letters.h"

#include <string.h>

enum { PIXEL_ROWS = 6, SMALL_ROWS = 3 };

/* Six rows of pixels each; '#' is ink. Drawn for this program. */
struct letter {
    uint32_t code;
    const char *rows[PIXEL_ROWS];
};

static const struct letter letters[] = {
    {'0', {"####", "#..#", "#..#", "#..#", "#..#", "####"}},
    {'1', {".##.", "..#.", "..#.", "..#.", "..#.", ".###"}},
    {'2', {"####", "...#", "...#", "####", "#...", "####"}},
    {'3', {"####", "...#", ".###", "...#", "...#", "####"}},
    {'4', {"#..#", "#..#", "#..#", "####", "...#", "...#"}},
    {'5', {"####", "#...", "####", "...#", "...#", "####"}},
    {'6', {"####", "#...", "####", "#..#", "#..#", "####"}},
    {'7', {"####", "...#", "..#.", "..#.", ".#..", ".#.."}},
    {'8', {"####", "#..#", "####", "#..#", "#..#", "####"}},
    {'9', {"####", "#..#", "#..#", "####", "...#", "####"}},
    {'.', {".", ".", ".", ".", ".", "#"}},
    {'-', {"...", "...", "###", "...", "...", "..."}},
    {'+', {"...", "...", ".#.", "###", ".#.", "..."}},
    {'<', {"....", "..##", "##..", "##..", "..##", "...."}},
    {'/', {"...#", "..#.", "..#.", ".#..", ".#..", "#..."}},
    {'%', {"#..#", "...#", "..#.", ".#..", "#...", "#..#"}},
    {' ', {"..", "..", "..", "..", "..", ".."}},
    {0x00b0, {"###", "#.#", "###", "...", "...", "..."}},
    {'A', {".##.", "#..#", "#..#", "####", "#..#", "#..#"}},
    {'B', {"###.", "#..#", "###.", "#..#", "#..#", "###."}},
    {'C', {"####", "#...", "#...", "#...", "#...", "####"}},
    {'D', {"###.", "#..#", "#..#", "#..#", "#..#", "###."}},
    {'E', {"####", "#...", "###.", "#...", "#...", "####"}},
    {'F', {"####", "#...", "###.", "#...", "#...", "#..."}},
    {'G', {"####", "#...", "#.##", "#..#", "#..#", "####"}},
    {'H', {"#..#", "#..#", "####", "#..#", "#..#", "#..#"}},
    {'I', {"#", "#", "#", "#", "#", "#"}},
    {'J', {"...#", "...#", "...#", "...#", "#..#", "####"}},
    {'K', {"#..#", "#.#.", "##..", "##..", "#.#.", "#..#"}},
    {'L', {"#...", "#...", "#...", "#...", "#...", "####"}},
    {'M', {"#...#", "##.##", "#.#.#", "#...#", "#...#", "#...#"}},
    {'N', {"#..#", "##.#", "##.#", "#.##", "#.##", "#..#"}},
    {'O', {"####", "#..#", "#..#", "#..#", "#..#", "####"}},
    {'P', {"####", "#..#", "#..#", "####", "#...", "#..."}},
    {'Q', {"####", "#..#", "#..#", "#..#", "#.##", "####"}},
    {'R', {"####", "#..#", "#..#", "###.", "#.#.", "#..#"}},
    {'S', {"####", "#...", "####", "...#", "...#", "####"}},
    {'T', {"#####", "..#..", "..#..", "..#..", "..#..", "..#.."}},
    {'U', {"#..#", "#..#", "#..#", "#..#", "#..#", "####"}},
    {'V', {"#...#", "#...#", "#...#", ".#.#.", ".#.#.", "..#.."}},
    {'W', {"#...#", "#...#", "#...#", "#.#.#", "##.##", "#...#"}},
    {'X', {"#...#", ".#.#.", "..#..", "..#..", ".#.#.", "#...#"}},
    {'Y', {"#...#", ".#.#.", "..#..", "..#..", "..#..", "..#.."}},
    {'Z', {"####", "...#", "..#.", ".#..", "#...", "####"}},
};

/* The same in three rows of ASCII strokes; what is missing is written small. */
static const struct {
    char code;
    const char *rows[SMALL_ROWS];
} strokes[] = {
    {'0', {" _ ", "| |", "|_|"}}, {'1', {"   ", "  |", "  |"}}, {'2', {" _ ", " _|", "|_ "}},
    {'3', {" _ ", " _|", " _|"}}, {'4', {"   ", "|_|", "  |"}}, {'5', {" _ ", "|_ ", " _|"}},
    {'6', {" _ ", "|_ ", "|_|"}}, {'7', {" _ ", "  |", "  |"}}, {'8', {" _ ", "|_|", "|_|"}},
    {'9', {" _ ", "|_|", " _|"}}, {'.', {" ", " ", "o"}},       {'-', {"  ", "__", "  "}},
    {'+', {"   ", " | ", "-+-"}}, {'/', {"   ", "  /", " / "}}, {' ', {" ", " ", " "}},
};

static const struct letter ways[] = {
    {ADVICE_RIGHT,
     {"......##...", "......####.", "###########", "###########", "......####.", "......##..."}},
    {ADVICE_LEFT,
     {"...##......", ".####......", "###########", "###########", ".####......", "...##......"}},
    {ADVICE_UP,
     {".....#.....", "...#####...", ".#########.", "....###....", "....###....", "....###...."}},
    {ADVICE_DOWN,
     {"....###....", "....###....", "....###....", ".#########.", "...#####...", ".....#....."}},
    {ADVICE_CLOCKWISE,
     {"..#####....", ".##...##...", "##.....##..", "##...######", "......####.", ".......##.."}},
    {ADVICE_ANTICLOCKWISE,
     {"....#####..", "...##...##.", "..##.....##", "######...##", ".####......", "..##......."}},
};

static const struct {
    enum advice_move move;
    const char *rows[SMALL_ROWS];
} stroke_ways[] = {
    {ADVICE_RIGHT, {"      \\   ", "========> ", "      /   "}},
    {ADVICE_LEFT, {"   /      ", " <========", "   \\      "}},
    {ADVICE_UP, {"    /\\    ", "   /||\\   ", "    ||    "}},
    {ADVICE_DOWN, {"    ||    ", "   \\||/   ", "    \\/    "}},
    {ADVICE_CLOCKWISE, {"  .---.   ", " (    \\/  ", "          "}},
    {ADVICE_ANTICLOCKWISE, {"   .---.  ", "  \\/    ) ", "          "}},
};

static const struct letter *find_letter(const struct letter *list, size_t n, uint32_t code)
{
    for (size_t i = 0; i < n; i++) {
        if (list[i].code == code) {
            return &list[i];
        }
    }
    return NULL;
}

/* How many times a pixel's size the pane has room for; 0 = only for strokes. */
static int scale_of(const struct pane *pane)
{
    int pixels_down = pane->sheet->glyphs == GLYPHS_ASCII ? pane->rows : 2 * pane->rows;

    return pixels_down / PIXEL_ROWS;
}

static bool has_ink(const struct letter *letter, int scale, int x, int y)
{
    return y / scale < PIXEL_ROWS && letter->rows[y / scale][x / scale] == '#';
}

static int put_letter(const struct pane *pane, int col, enum ink ink, const struct letter *letter,
                      int scale)
{
    static const uint32_t halves[4] = {0, 0x2580, 0x2584, 0x2588};
    int width = (int)strlen(letter->rows[0]) * scale;
    bool ascii = pane->sheet->glyphs == GLYPHS_ASCII;
    int rows = ascii ? PIXEL_ROWS * scale : (PIXEL_ROWS * scale + 1) / 2;

    for (int row = 0; row < rows; row++) {
        for (int x = 0; x < width; x++) {
            if (ascii) {
                pane_cell(pane, row, col + x, ink, has_ink(letter, scale, x, row) ? '#' : 0);
            } else {
                int half = has_ink(letter, scale, x, 2 * row) |
                           has_ink(letter, scale, x, 2 * row + 1) << 1;
                pane_cell(pane, row, col + x, ink, halves[half]);
            }
        }
    }
    return col + width;
}

static int put_strokes(const struct pane *pane, int col, enum ink ink, const char *const *rows)
{
    for (int row = 0; row < SMALL_ROWS; row++) {
        for (int x = 0; rows[row][x]; x++) {
            pane_cell(pane, row, col + x, ink,
                      rows[row][x] == ' ' ? 0 : (uint32_t)(unsigned char)rows[row][x]);
        }
    }
    return col + (int)strlen(rows[0]);
}

/* One character; what has no strokes stands small in the middle row. */
static int put_small(const struct pane *pane, int col, enum ink ink, uint32_t code)
{
    for (size_t i = 0; i < sizeof strokes / sizeof *strokes; i++) {
        if ((uint32_t)strokes[i].code == code) {
            return put_strokes(pane, col, ink, strokes[i].rows);
        }
    }
    if (code == 0xb0) {
        return pane_put(pane, 1, col, ink, " deg");
    }
    pane_cell(pane, 1, col, ink, code);
    return col + 1;
}

int letters_put(const struct pane *pane, int col, enum ink ink, const char *text)
{
    int scale = scale_of(pane);

    for (bool first = true; *text; first = false) {
        const struct letter *letter;
        uint32_t code;
        text += glyphs_next(text, &code);
        if (scale == 0) {
            col = put_small(pane, col, ink, code);
            continue;
        }
        letter = find_letter(letters, sizeof letters / sizeof *letters, code);
        if (letter) {
            col = put_letter(pane, col + (first ? 0 : scale), ink, letter, scale);
        }
    }
    return col;
}

int letters_columns(const struct pane *pane, const char *text)
{
    struct pane nowhere = {.sheet = pane->sheet, .rows = pane->rows, .cols = 0};

    return letters_put(&nowhere, 0, INK_PLAIN, text);
}

int letters_rows(const struct pane *pane)
{
    int pixels = PIXEL_ROWS * scale_of(pane);

    if (pixels == 0) {
        return SMALL_ROWS;
    }
    return pane->sheet->glyphs == GLYPHS_ASCII ? pixels : (pixels + 1) / 2;
}

int letters_put_way(const struct pane *pane, int col, enum ink ink, enum advice_move move)
{
    int scale = scale_of(pane);
    const struct letter *way = find_letter(ways, sizeof ways / sizeof *ways, move);

    if (!way) {
        return col;
    }
    if (scale > 0) {
        return put_letter(pane, col, ink, way, scale);
    }
    for (size_t i = 0; i < sizeof stroke_ways / sizeof *stroke_ways; i++) {
        if (stroke_ways[i].move == move) {
            return put_strokes(pane, col, ink, stroke_ways[i].rows);
        }
    }
    return col;
}
