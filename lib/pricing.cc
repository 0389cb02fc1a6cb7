#include "tarewise/pricing/internal/ratebook-inl.h"
