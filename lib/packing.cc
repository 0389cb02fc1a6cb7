#include "tarewise/packing/internal/arrange-inl.h"
#include "tarewise/packing/internal/check-inl.h"
