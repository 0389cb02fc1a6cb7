#include "tarewise/plans/internal/plans-inl.h"
