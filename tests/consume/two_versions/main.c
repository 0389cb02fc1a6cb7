/* Two versions of tarewise in one program, each by its own words. */
#include <stdio.h>

const char* first_side(void);
const char* second_side(void);

int main(void) {
  printf("%s\n%s\n", first_side(), second_side());
  return 0;
}
