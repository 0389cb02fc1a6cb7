#include "tarewise/compare/internal/catalogues-inl.h"
#include "tarewise/compare/internal/kept_catalogue-inl.h"
#include "tarewise/compare/internal/summary-inl.h"
#include "tarewise/compare/internal/tariffs-inl.h"
