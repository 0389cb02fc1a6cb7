#include "tarewise/batch/internal/index-inl.h"
#include "tarewise/batch/internal/reprice-inl.h"
