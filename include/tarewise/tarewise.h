#ifndef TAREWISE_TAREWISE_H_
#define TAREWISE_TAREWISE_H_

/// The whole core. Reading documents is in tarewise/documents/load.h.
#include "tarewise/batch/index.h"
#include "tarewise/batch/reprice.h"
#include "tarewise/compare/catalogues.h"
#include "tarewise/compare/kept_catalogue.h"
#include "tarewise/compare/priced_catalogues.h"
#include "tarewise/compare/summary.h"
#include "tarewise/compare/tariffs.h"
#include "tarewise/economics/economics.h"
#include "tarewise/economics/sale_columns.h"
#include "tarewise/economics/side_by_side.h"
#include "tarewise/packing/fill.h"
#include "tarewise/plans/plans.h"
#include "tarewise/pricing/ratebook_slot.h"
#include "tarewise/ranking/growth.h"
#include "tarewise/ranking/pack_goods.h"
#include "tarewise/ranking/packing_steps.h"
#include "tarewise/ranking/rank.h"
#include "tarewise/ranking/ranking.h"
#include "tarewise/ranking/steps.h"
#include "tarewise/ranking/totals.h"
#include "tarewise/units/literals.h"
#include "tarewise/units/placed_error.h"
#include "tarewise/units/shown_text.h"
#include "tarewise/version.h"

#endif  // TAREWISE_TAREWISE_H_
