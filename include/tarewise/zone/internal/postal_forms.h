// Made by tables/postal_forms.py from tables/postal-forms.csv, which names its source and licence in tables/README.md.
#ifndef TAREWISE_ZONE_INTERNAL_POSTAL_FORMS_H_
#define TAREWISE_ZONE_INTERNAL_POSTAL_FORMS_H_

#include <cstdint>
#include <string_view>

#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::internal {

// The postal codes of all countries as one automaton, in upper case, without spaces and hyphens: 299 states.
// clang-format off
struct PostalEdge {
  char first;
  char last;
  std::uint16_t next;
};
inline constexpr PostalEdge kPostalEdges[] = {
  {'Z', 'Z', 0}, {'Z', 'Z', 1}, {'1', '1', 2}, {'N', 'N', 3}, {'C', 'C', 4}, {'S', 'S', 5}, {'A', 'A', 6},
  {'0', '9', 0}, {'0', '0', 8}, {'1', '7', 9}, {'D', 'D', 10}, {'A', 'A', 11}, {'0', '9', 8}, {'0', '9', 13},
  {'0', '9', 14}, {'0', '0', 0}, {'4', '4', 16}, {'6', '6', 17}, {'2', '2', 18}, {'I', 'I', 19}, {'2', '2', 18},
  {'A', 'A', 20}, {'0', '9', 8}, {'0', '9', 22}, {'0', '9', 23}, {'0', '6', 13}, {'7', '7', 24}, {'8', '9', 13},
  {'0', '2', 14}, {'3', '3', 25}, {'4', '9', 14}, {'A', 'Z', 0}, {'A', 'Z', 27}, {'A', 'Z', 28}, {'0', '9', 29},
  {'0', '9', 30}, {'0', '9', 31}, {'0', '9', 32}, {'0', '9', 32}, {'A', 'H', 33}, {'J', 'N', 33}, {'P', 'Z', 33},
  {'0', '9', 14}, {'9', '9', 35}, {'9', '9', 36}, {'7', '7', 37}, {'6', '6', 38}, {'9', '9', 39}, {'2', '2', 14},
  {'2', '2', 41}, {'0', '9', 15}, {'B', 'B', 43}, {'B', 'B', 44}, {'0', '9', 0}, {'0', '9', 46}, {'0', '2', 47},
  {'3', '9', 8}, {'1', '1', 48}, {'2', '9', 13}, {'0', '1', 13}, {'7', '8', 50}, {'9', '9', 51}, {'0', '9', 0},
  {'A', 'Z', 0}, {'0', '9', 53}, {'A', 'Z', 53}, {'A', 'Z', 54}, {'A', 'Z', 55}, {'A', 'Z', 15}, {'A', 'Z', 57},
  {'0', '9', 43}, {'0', '9', 59}, {'0', '9', 60}, {'A', 'C', 8}, {'E', 'E', 8}, {'G', 'H', 8}, {'J', 'N', 8},
  {'P', 'P', 8}, {'R', 'T', 8}, {'V', 'Z', 8}, {'0', '9', 62}, {'A', 'C', 63}, {'E', 'E', 63}, {'G', 'H', 63},
  {'J', 'N', 63}, {'P', 'P', 63}, {'R', 'T', 63}, {'V', 'Z', 63}, {'0', '9', 64}, {'A', 'C', 65}, {'E', 'E', 65},
  {'G', 'H', 65}, {'J', 'N', 65}, {'P', 'P', 65}, {'R', 'T', 65}, {'V', 'V', 65}, {'X', 'Y', 65}, {'9', '9', 0},
  {'9', '9', 67}, {'7', '7', 68}, {'6', '6', 69}, {'0', '9', 22}, {'0', '9', 71}, {'0', '9', 72}, {'0', '9', 73},
  {'0', '9', 74}, {'8', '8', 0}, {'9', '9', 76}, {'7', '7', 77}, {'6', '6', 78}, {'Q', 'Q', 3}, {'Q', 'Q', 80},
  {'I', 'I', 81}, {'F', 'F', 82}, {'1', '4', 35}, {'4', '4', 84}, {'9', '9', 85}, {'6', '6', 86}, {'9', '9', 87},
  {'A', 'B', 0}, {'D', 'H', 0}, {'J', 'J', 0}, {'L', 'L', 0}, {'N', 'U', 0}, {'W', 'Z', 0}, {'A', 'B', 89},
  {'D', 'H', 89}, {'J', 'J', 89}, {'L', 'L', 89}, {'N', 'U', 89}, {'W', 'Z', 89}, {'0', '9', 90}, {'A', 'B', 89},
  {'D', 'H', 89}, {'J', 'J', 89}, {'L', 'L', 89}, {'N', 'U', 89}, {'W', 'Z', 89}, {'0', '9', 90}, {'0', '9', 91},
  {'A', 'Z', 92}, {'0', '9', 93}, {'B', 'B', 94}, {'L', 'L', 94}, {'0', '9', 46}, {'0', '9', 96}, {'0', '9', 97},
  {'O', 'O', 98}, {'0', '9', 93}, {'P', 'P', 99}, {'0', '9', 93}, {'A', 'B', 94}, {'D', 'D', 94}, {'F', 'F', 100},
  {'H', 'H', 94}, {'L', 'L', 94}, {'N', 'N', 94}, {'R', 'T', 94}, {'X', 'X', 94}, {'A', 'B', 94}, {'F', 'F', 94},
  {'H', 'H', 94}, {'M', 'M', 94}, {'O', 'O', 94}, {'R', 'R', 94}, {'T', 'T', 94}, {'V', 'W', 94}, {'A', 'A', 94},
  {'D', 'E', 94}, {'G', 'H', 94}, {'L', 'L', 94}, {'N', 'N', 94}, {'T', 'T', 94}, {'Y', 'Y', 94}, {'0', '9', 93},
  {'C', 'C', 94}, {'H', 'H', 94}, {'N', 'N', 94}, {'X', 'X', 94}, {'K', 'K', 94}, {'Y', 'Y', 94}, {'A', 'A', 0},
  {'A', 'A', 106}, {'0', '0', 107}, {'R', 'R', 108}, {'0', '9', 93}, {'I', 'I', 109}, {'L', 'L', 94}, {'U', 'U', 94},
  {'Y', 'Y', 94}, {'A', 'A', 94}, {'D', 'D', 94}, {'G', 'G', 94}, {'P', 'P', 94}, {'R', 'S', 94}, {'U', 'U', 94},
  {'X', 'X', 94}, {'G', 'G', 94}, {'M', 'M', 94}, {'P', 'P', 94}, {'V', 'V', 94}, {'E', 'E', 94}, {'A', 'A', 94},
  {'T', 'T', 94}, {'W', 'W', 94}, {'Y', 'Y', 94}, {'0', '9', 93}, {'A', 'A', 94}, {'D', 'E', 94}, {'L', 'L', 94},
  {'N', 'N', 94}, {'S', 'S', 94}, {'U', 'U', 94}, {'0', '9', 93}, {'E', 'E', 94}, {'K', 'L', 94}, {'0', '9', 93},
  {'E', 'E', 94}, {'G', 'G', 94}, {'N', 'N', 94}, {'P', 'P', 94}, {'R', 'R', 94}, {'W', 'W', 94}, {'L', 'L', 94},
  {'X', 'X', 94}, {'A', 'A', 94}, {'E', 'E', 94}, {'H', 'H', 94}, {'L', 'L', 94}, {'O', 'O', 94}, {'R', 'R', 94},
  {'G', 'H', 94}, {'M', 'M', 94}, {'0', '9', 93}, {'A', 'A', 94}, {'E', 'E', 94}, {'G', 'G', 94}, {'K', 'P', 94},
  {'R', 'T', 94}, {'W', 'W', 94}, {'Y', 'Y', 94}, {'A', 'A', 94}, {'D', 'D', 94}, {'F', 'F', 94}, {'N', 'N', 94},
  {'Q', 'S', 94}, {'W', 'W', 94}, {'B', 'B', 94}, {'0', '9', 93}, {'A', 'A', 94}, {'C', 'D', 94}, {'F', 'F', 94},
  {'N', 'N', 94}, {'R', 'S', 94}, {'V', 'V', 94}, {'O', 'O', 94}, {'A', 'A', 95}, {'B', 'B', 101}, {'C', 'C', 102},
  {'D', 'D', 103}, {'E', 'E', 104}, {'F', 'F', 105}, {'G', 'G', 110}, {'H', 'H', 111}, {'I', 'I', 112},
  {'J', 'J', 113}, {'K', 'K', 114}, {'L', 'L', 115}, {'M', 'M', 116}, {'N', 'N', 117}, {'O', 'O', 118},
  {'P', 'P', 119}, {'R', 'R', 120}, {'S', 'S', 121}, {'T', 'T', 122}, {'U', 'U', 123}, {'W', 'W', 124},
  {'Y', 'Y', 125}, {'Z', 'Z', 113}, {'3', '3', 13}, {'7', '8', 127}, {'9', '9', 128}, {'Y', 'Y', 94}, {'G', 'G', 130},
  {'1', '1', 107}, {'1', '1', 132}, {'1', '1', 133}, {'X', 'X', 134}, {'G', 'G', 135}, {'9', '9', 13},
  {'3', '3', 137}, {'S', 'S', 82}, {'0', '9', 35}, {'1', '2', 35}, {'1', '2', 140}, {'3', '3', 141}, {'9', '9', 142},
  {'6', '6', 143}, {'9', '9', 144}, {'0', '9', 54}, {'A', 'Z', 54}, {'0', '9', 146}, {'A', 'Z', 146}, {'0', '9', 147},
  {'A', 'Z', 147}, {'0', '9', 148}, {'A', 'Z', 148}, {'0', '9', 149}, {'A', 'Z', 149}, {'0', '9', 24},
  {'0', '9', 151}, {'0', '9', 152}, {'M', 'M', 94}, {'I', 'I', 154}, {'D', 'D', 3}, {'N', 'N', 156}, {'B', 'B', 157},
  {'B', 'B', 158}, {'0', '9', 61}, {'0', '9', 160}, {'J', 'J', 113}, {'0', '9', 47}, {'0', '9', 163}, {'0', '9', 164},
  {'0', '9', 165}, {'Y', 'Y', 43}, {'K', 'K', 167}, {'0', '9', 140}, {'0', '9', 169}, {'0', '9', 170}, {'5', '9', 0},
  {'0', '8', 0}, {'8', '8', 172}, {'9', '9', 173}, {'4', '4', 174}, {'9', '9', 175}, {'V', 'V', 15}, {'L', 'L', 177},
  {'0', '0', 13}, {'8', '8', 179}, {'9', '9', 180}, {'8', '8', 15}, {'6', '7', 140}, {'9', '9', 183}, {'6', '6', 184},
  {'9', '9', 185}, {'0', '2', 35}, {'5', '5', 187}, {'9', '9', 188}, {'6', '6', 189}, {'9', '9', 190}, {'2', '2', 13},
  {'7', '8', 192}, {'9', '9', 193}, {'0', '9', 96}, {'0', '9', 195}, {'A', 'Z', 196}, {'A', 'Z', 197},
  {'A', 'Z', 198}, {'A', 'Z', 14}, {'0', '9', 8}, {'A', 'Z', 200}, {'0', '9', 201}, {'0', '9', 202}, {'0', '9', 203},
  {'8', '8', 13}, {'8', '8', 205}, {'9', '9', 206}, {'8', '8', 68}, {'2', '2', 208}, {'B', 'C', 0}, {'E', 'R', 0},
  {'T', 'Z', 0}, {'A', 'R', 27}, {'S', 'S', 210}, {'T', 'Z', 27}, {'0', '9', 211}, {'0', '9', 212}, {'0', '9', 213},
  {'1', '9', 214}, {'C', 'C', 14}, {'0', '9', 13}, {'P', 'P', 216}, {'0', '0', 46}, {'1', '9', 0}, {'O', 'O', 218},
  {'A', 'A', 219}, {'L', 'L', 220}, {'L', 'L', 221}, {'A', 'A', 222}, {'A', 'A', 47}, {'M', 'M', 224},
  {'I', 'I', 225}, {'0', '2', 15}, {'C', 'C', 223}, {'L', 'L', 226}, {'7', '7', 13}, {'8', '8', 228}, {'9', '9', 229},
  {'5', '5', 13}, {'7', '8', 231}, {'9', '9', 232}, {'R', 'R', 4}, {'C', 'C', 234}, {'P', 'P', 235}, {'6', '7', 169},
  {'9', '9', 169}, {'0', '0', 237}, {'0', '0', 238}, {'0', '0', 35}, {'3', '3', 36}, {'4', '4', 240}, {'9', '9', 241},
  {'6', '6', 242}, {'9', '9', 243}, {'4', '4', 13}, {'7', '8', 245}, {'9', '9', 246}, {'L', 'L', 3}, {'H', 'H', 248},
  {'T', 'T', 249}, {'A', 'A', 6}, {'S', 'S', 250}, {'9', '9', 8}, {'8', '8', 252}, {'7', '7', 253}, {'4', '4', 254},
  {'A', 'Z', 43}, {'A', 'Z', 256}, {'0', '2', 8}, {'1', '7', 258}, {'1', '3', 259}, {'P', 'P', 260}, {'C', 'C', 261},
  {'H', 'H', 14}, {'L', 'M', 14}, {'S', 'S', 14}, {'U', 'U', 3}, {'C', 'C', 264}, {'D', 'D', 265}, {'T', 'T', 266},
  {'A', 'A', 3}, {'C', 'C', 268}, {'K', 'K', 269}, {'T', 'T', 270}, {'0', '9', 47}, {'0', '9', 272}, {'0', '9', 273},
  {'0', '9', 274}, {'8', '8', 77}, {'6', '6', 276}, {'9', '9', 277}, {'0', '9', 171}, {'2', '2', 16}, {'1', '1', 280},
  {'0', '0', 281}, {'0', '0', 282}, {'C', 'C', 15}, {'V', 'V', 284}, {'G', 'G', 15}, {'V', 'V', 286}, {'0', '1', 35},
  {'0', '4', 140}, {'5', '5', 288}, {'8', '8', 289}, {'0', '0', 290}, {'0', '0', 291}, {'6', '6', 13},
  {'8', '8', 293}, {'9', '9', 294}, {'1', '7', 15}, {'7', '7', 293}, {'9', '9', 297},
};

// The edges of a state are those from its own first to the next state's.
inline constexpr std::uint16_t kPostalFirstEdge[] = {
  0, 0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15, 16, 17, 18, 19, 20, 22, 23, 24, 25, 28, 31, 32, 33, 34, 35,
  36, 37, 38, 42, 43, 44, 45, 46, 47, 48, 49, 50, 51, 52, 53, 54, 55, 57, 59, 60, 61, 62, 64, 66, 67, 68, 69, 70, 71,
  72, 73, 80, 81, 88, 89, 97, 98, 99, 100, 101, 102, 103, 104, 105, 106, 107, 108, 109, 110, 111, 112, 113, 114, 115,
  116, 117, 118, 119, 125, 131, 138, 139, 141, 142, 144, 145, 146, 147, 148, 150, 159, 167, 174, 179, 181, 182, 183,
  184, 185, 190, 197, 201, 202, 206, 213, 216, 223, 225, 231, 233, 241, 247, 248, 255, 256, 279, 280, 281, 282, 283,
  284, 285, 286, 287, 288, 289, 290, 291, 292, 293, 294, 296, 297, 298, 299, 301, 303, 305, 307, 309, 310, 311, 312,
  313, 314, 315, 316, 317, 318, 319, 320, 321, 322, 323, 324, 325, 326, 327, 328, 329, 330, 331, 332, 334, 335, 336,
  337, 338, 339, 340, 341, 342, 343, 344, 345, 346, 347, 348, 349, 350, 351, 352, 353, 354, 355, 356, 357, 358, 359,
  360, 362, 363, 364, 365, 366, 367, 368, 369, 370, 373, 376, 377, 378, 379, 380, 381, 383, 385, 386, 387, 388, 389,
  390, 391, 392, 393, 396, 397, 398, 399, 400, 401, 402, 403, 404, 405, 407, 408, 409, 410, 412, 413, 414, 415, 416,
  417, 418, 419, 420, 421, 423, 424, 425, 426, 427, 428, 429, 430, 431, 432, 433, 434, 437, 438, 439, 440, 441, 442,
  443, 444, 445, 446, 447, 448, 449, 450, 451, 452, 453, 454, 455, 456, 457, 458, 459, 460, 461, 462, 464, 465, 466,
  467, 468, 469, 470, 471, 472, 473,
};

// Whether a code may end in a state.
inline constexpr bool kPostalWhole[] = {
  true, false, false, false, false, false, false, false, false, false, false, false, false, false, false, false,
  false, false, false, false, false, false, true, false, false, false, false, false, false, true, false, false, false,
  false, false, true, false, false, false, false, false, false, false, false, false, false, true, false, false, false,
  false, false, false, false, false, false, false, false, false, false, false, false, false, false, false, false,
  false, false, false, false, false, true, false, false, false, false, false, false, false, false, false, false,
  false, false, false, false, false, false, false, false, false, false, false, false, false, false, true, true, false,
  false, false, false, false, false, false, false, false, false, false, false, false, false, false, false, false,
  false, false, false, false, false, false, false, false, false, false, false, false, false, false, false, false,
  false, false, false, false, false, false, false, false, false, false, false, false, false, false, false, false,
  false, false, false, false, false, false, false, false, false, false, false, false, false, false, false, false,
  false, false, false, false, false, false, false, false, false, false, false, false, false, false, false, false,
  false, false, false, false, false, false, false, false, false, false, false, false, false, false, false, false,
  false, false, false, false, false, false, false, false, false, false, false, false, false, false, false, false,
  false, false, false, false, false, false, false, false, false, false, false, false, false, false, false, false,
  false, false, false, false, false, false, false, false, false, false, false, false, false, false, false, false,
  false, false, false, false, false, false, false, false, false, false, false, false, false, false, false, false,
  false, false, false, false, false, false, false, false, false, false, false, false, false, true, false, false,
  false, false, false, false, false, false, false, false, false, false, false, false, false, false, false, false,
  false, false, false, false, false, false, false, false,
};

inline constexpr std::string_view kPostalWords[] = {
  "the code \"ASCN 1ZZ\"", "a code such as \"AD100\" or \"AD501\"", "four digits", "a code such as \"2640\"",
  "a code such as \"375010\" or \"0002\"", "a code such as \"C1070AAM\" or \"C1000WAM\"", "a code such as \"96799\"",
  "a code such as \"22150\" or \"22550\"", "five digits", "a code such as \"BB23026\" or \"BB22025\"",
  "a code such as \"317\"", "a code such as \"97100\"", "a code such as \"FL 07\" or \"HM GX\"",
  "a code such as \"BT2328\" or \"KA1131\"", "eight digits", "six digits",
  "a code such as \"H3Z 2Y7\" or \"V8X 3X4\"", "the code \"6799\"", "seven digits", "four, five or seven digits",
  "the code \"6798\"", "the code \"FIQQ 1ZZ\"", "a code such as \"96941\" or \"96944\"", "three digits",
  "a code such as \"EC1Y 8SY\" or \"GIR 0AA\"", "a code such as \"97300\"",
  "a code such as \"GY1 1AA\" or \"GY2 2BT\"", "the code \"GX11 1AA\"", "a code such as \"3900\" or \"3950\"",
  "the code \"SIQQ 1ZZ\"", "a code such as \"96910\" or \"96931\"", "a code such as \"A65 F4E2\"",
  "five or seven digits", "a code such as \"IM2 1AA\" or \"IM99 1PS\"", "the code \"BBND 1ZZ\"", "ten digits",
  "a code such as \"JE1 1AA\" or \"JE2 2BT\"", "five or six digits", "a code such as \"KY1-1100\" or \"KY1-1702\"",
  "four or eight digits", "a code such as \"9496\" or \"9491\"", "a code such as \"LV-1073\" or \"LV-1000\"",
  "a code such as \"98000\" or \"98020\"", "a code such as \"81257\" or \"81258\"",
  "a code such as \"96960\" or \"96970\"", "a code such as \"96950\" or \"96951\"", "a code such as \"97220\"",
  "a code such as \"NXR 01\" or \"ZTN 05\"", "a code such as \"42602\"", "a code such as \"98814\" or \"98800\"",
  "the code \"2899\"", "a code such as \"1234 AB\" or \"2490 AA\"", "a code such as \"133\" or \"112\"",
  "a code such as \"LIMA 23\" or \"LIMA 42\"", "a code such as \"98709\"", "a code such as \"97500\"",
  "the code \"PCRN 1ZZ\"", "a code such as \"00930\"", "a code such as \"96940\"", "a code such as \"97400\"",
  "a code such as \"STHL 1ZZ\"", "a code such as \"47890\" or \"47891\"",
  "a code such as \"JH 09010\" or \"AD 11010\"", "a code such as \"CP 1101\"", "a code such as \"H100\"",
  "the code \"TDCU 1ZZ\"", "the code \"TKCA 1ZZ\"", "three, five or six digits", "four or five digits",
  "the code \"96898\"", "five digits, perhaps a hyphen and four more", "the code \"00120\"",
  "a code such as \"VC0100\" or \"VC0110\"", "a code such as \"VG1110\" or \"VG1150\"",
  "a code such as \"00802-1222\" or \"00850-9802\"", "a code such as \"98600\"", "a code such as \"10000\"",
  "a code such as \"97600\"",
};

struct PostalCountry {
  char code[3];
  std::uint16_t start;  ///< The state that its codes begin in, or kNoPostalForm.
  std::uint16_t words;
};
inline constexpr std::uint16_t kNoPostalForm = 0xFFFF;
inline constexpr PostalCountry kPostalCountries[] = {
  {"AC", 7, 0}, {"AD", 12, 1}, {"AE", kNoPostalForm, 0}, {"AF", 15, 2}, {"AG", kNoPostalForm, 0}, {"AI", 21, 3},
  {"AL", 15, 2}, {"AM", 26, 4}, {"AO", kNoPostalForm, 0}, {"AQ", kNoPostalForm, 0}, {"AR", 34, 5}, {"AS", 40, 6},
  {"AT", 15, 2}, {"AU", 15, 2}, {"AW", kNoPostalForm, 0}, {"AX", 42, 7}, {"AZ", 15, 2}, {"BA", 43, 8}, {"BB", 45, 9},
  {"BD", 15, 2}, {"BE", 15, 2}, {"BF", kNoPostalForm, 0}, {"BG", 15, 2}, {"BH", 49, 10}, {"BI", kNoPostalForm, 0},
  {"BJ", kNoPostalForm, 0}, {"BL", 52, 11}, {"BM", 56, 12}, {"BN", 58, 13}, {"BO", kNoPostalForm, 0},
  {"BQ", kNoPostalForm, 0}, {"BR", 61, 14}, {"BS", kNoPostalForm, 0}, {"BT", 43, 8}, {"BV", kNoPostalForm, 0},
  {"BW", kNoPostalForm, 0}, {"BY", 59, 15}, {"BZ", kNoPostalForm, 0}, {"CA", 66, 16}, {"CC", 70, 17},
  {"CD", kNoPostalForm, 0}, {"CF", kNoPostalForm, 0}, {"CG", kNoPostalForm, 0}, {"CH", 15, 2},
  {"CI", kNoPostalForm, 0}, {"CK", kNoPostalForm, 0}, {"CL", 60, 18}, {"CM", kNoPostalForm, 0}, {"CN", 59, 15},
  {"CO", 59, 15}, {"CR", 75, 19}, {"CU", 43, 8}, {"CV", 15, 2}, {"CW", kNoPostalForm, 0}, {"CX", 79, 20},
  {"CY", 15, 2}, {"CZ", 43, 8}, {"DE", 43, 8}, {"DJ", kNoPostalForm, 0}, {"DK", 15, 2}, {"DM", kNoPostalForm, 0},
  {"DO", 43, 8}, {"DZ", 43, 8}, {"EC", 59, 15}, {"EE", 43, 8}, {"EG", 43, 8}, {"EH", 43, 8}, {"ER", kNoPostalForm, 0},
  {"ES", 43, 8}, {"ET", 15, 2}, {"FI", 43, 8}, {"FJ", kNoPostalForm, 0}, {"FK", 83, 21}, {"FM", 88, 22},
  {"FO", 14, 23}, {"FR", 43, 8}, {"GA", kNoPostalForm, 0}, {"GB", 126, 24}, {"GD", kNoPostalForm, 0}, {"GE", 15, 2},
  {"GF", 129, 25}, {"GG", 131, 26}, {"GH", kNoPostalForm, 0}, {"GI", 136, 27}, {"GL", 138, 28},
  {"GM", kNoPostalForm, 0}, {"GN", 14, 23}, {"GP", 52, 11}, {"GQ", kNoPostalForm, 0}, {"GR", 43, 8}, {"GS", 139, 29},
  {"GT", 43, 8}, {"GU", 145, 30}, {"GW", 15, 2}, {"GY", kNoPostalForm, 0}, {"HK", kNoPostalForm, 0}, {"HM", 15, 2},
  {"HN", 43, 8}, {"HR", 43, 8}, {"HT", 15, 2}, {"HU", 15, 2}, {"ID", 43, 8}, {"IE", 150, 31}, {"IL", 153, 32},
  {"IM", 155, 33}, {"IN", 59, 15}, {"IO", 159, 34}, {"IQ", 43, 8}, {"IR", 161, 35}, {"IS", 14, 23}, {"IT", 43, 8},
  {"JE", 162, 36}, {"JM", kNoPostalForm, 0}, {"JO", 43, 8}, {"JP", 60, 18}, {"KE", 43, 8}, {"KG", 59, 15},
  {"KH", 166, 37}, {"KI", kNoPostalForm, 0}, {"KM", kNoPostalForm, 0}, {"KN", kNoPostalForm, 0},
  {"KP", kNoPostalForm, 0}, {"KR", 43, 8}, {"KW", 43, 8}, {"KY", 168, 38}, {"KZ", 59, 15}, {"LA", 43, 8},
  {"LB", 171, 39}, {"LC", kNoPostalForm, 0}, {"LI", 176, 40}, {"LK", 43, 8}, {"LR", 15, 2}, {"LS", 14, 23},
  {"LT", 43, 8}, {"LU", 15, 2}, {"LV", 178, 41}, {"LY", kNoPostalForm, 0}, {"MA", 43, 8}, {"MC", 181, 42},
  {"MD", 15, 2}, {"ME", 182, 43}, {"MF", 52, 11}, {"MG", 14, 23}, {"MH", 186, 44}, {"MK", 15, 2},
  {"ML", kNoPostalForm, 0}, {"MM", 43, 8}, {"MN", 43, 8}, {"MO", kNoPostalForm, 0}, {"MP", 191, 45}, {"MQ", 194, 46},
  {"MR", kNoPostalForm, 0}, {"MS", kNoPostalForm, 0}, {"MT", 199, 47}, {"MU", 204, 48}, {"MV", 43, 8},
  {"MW", kNoPostalForm, 0}, {"MX", 43, 8}, {"MY", 43, 8}, {"MZ", 15, 2}, {"NA", 43, 8}, {"NC", 207, 49},
  {"NE", 15, 2}, {"NF", 209, 50}, {"NG", 59, 15}, {"NI", 43, 8}, {"NL", 215, 51}, {"NO", 15, 2}, {"NP", 43, 8},
  {"NR", kNoPostalForm, 0}, {"NU", kNoPostalForm, 0}, {"NZ", 15, 2}, {"OM", 217, 52}, {"PA", kNoPostalForm, 0},
  {"PE", 227, 53}, {"PF", 230, 54}, {"PG", 14, 23}, {"PH", 15, 2}, {"PK", 43, 8}, {"PL", 43, 8}, {"PM", 233, 55},
  {"PN", 236, 56}, {"PR", 239, 57}, {"PS", kNoPostalForm, 0}, {"PT", 60, 18}, {"PW", 244, 58}, {"PY", 15, 2},
  {"QA", kNoPostalForm, 0}, {"RE", 247, 59}, {"RO", 59, 15}, {"RS", 166, 37}, {"RU", 59, 15},
  {"RW", kNoPostalForm, 0}, {"SA", 43, 8}, {"SB", kNoPostalForm, 0}, {"SC", kNoPostalForm, 0}, {"SD", 43, 8},
  {"SE", 43, 8}, {"SG", 59, 15}, {"SH", 251, 60}, {"SI", 15, 2}, {"SJ", 15, 2}, {"SK", 43, 8},
  {"SL", kNoPostalForm, 0}, {"SM", 255, 61}, {"SN", 43, 8}, {"SO", 257, 62}, {"SR", kNoPostalForm, 0},
  {"SS", kNoPostalForm, 0}, {"ST", kNoPostalForm, 0}, {"SV", 262, 63}, {"SX", kNoPostalForm, 0},
  {"SY", kNoPostalForm, 0}, {"SZ", 263, 64}, {"TA", 267, 65}, {"TC", 271, 66}, {"TD", kNoPostalForm, 0},
  {"TF", kNoPostalForm, 0}, {"TG", kNoPostalForm, 0}, {"TH", 43, 8}, {"TJ", 59, 15}, {"TK", kNoPostalForm, 0},
  {"TL", kNoPostalForm, 0}, {"TM", 59, 15}, {"TN", 15, 2}, {"TO", kNoPostalForm, 0}, {"TR", 43, 8},
  {"TT", kNoPostalForm, 0}, {"TV", kNoPostalForm, 0}, {"TW", 275, 67}, {"TZ", 165, 68}, {"UA", 43, 8},
  {"UG", kNoPostalForm, 0}, {"UM", 278, 69}, {"US", 279, 70}, {"UY", 43, 8}, {"UZ", 59, 15}, {"VA", 283, 71},
  {"VC", 285, 72}, {"VE", 15, 2}, {"VG", 287, 73}, {"VI", 292, 74}, {"VN", 166, 37}, {"VU", kNoPostalForm, 0},
  {"WF", 295, 75}, {"WS", kNoPostalForm, 0}, {"XK", 296, 76}, {"YE", kNoPostalForm, 0}, {"YT", 298, 77},
  {"ZA", 15, 2}, {"ZM", 43, 8}, {"ZW", kNoPostalForm, 0},
};
// clang-format on

}  // namespace tarewise::inline TW_VERSIONED::internal

#endif  // TAREWISE_ZONE_INTERNAL_POSTAL_FORMS_H_
