#include "tarewise/economics/internal/economics-inl.h"
#include "tarewise/economics/internal/fees-inl.h"
#include "tarewise/economics/internal/sale_columns-inl.h"
#include "tarewise/economics/internal/side_by_side-inl.h"
