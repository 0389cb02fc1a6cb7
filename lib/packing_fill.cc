#include "tarewise/packing/internal/fill-inl.h"
