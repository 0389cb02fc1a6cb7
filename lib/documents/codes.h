#ifndef TAREWISE_LIB_DOCUMENTS_CODES_H_
#define TAREWISE_LIB_DOCUMENTS_CODES_H_

#include <cstdint>

#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::load {

/// Codes of findings. Pinned: a number is never reused for another meaning.
enum Code : std::int32_t {
  // 1xx: the text is not JSON or CSV.
  kNotUtf8 = 101,
  // 102: a byte order mark, which is passed over now.
  kSyntax = 103,
  kComment = 104,
  kDuplicateKey = 105,
  kTooDeep = 106,
  kTooManyValues = 107,
  kBadString = 108,
  kEmptyDocument = 109,
  kCsvQuote = 110,
  kCsvLineEnd = 111,

  // 2xx: a value has not the form that is expected in its place.
  kWrongFormat = 200,
  kUnknownKey = 201,
  kMissingKey = 202,
  kWrongKind = 203,
  kBadWeight = 204,
  kBadLength = 205,
  kBadVolume = 206,
  kBadSides = 207,
  kBadMoney = 208,
  kBadPercent = 209,
  kBadDate = 210,
  kBadCurrency = 211,
  kBadNumber = 212,
  kBadCode = 213,
  kUnknownWord = 214,
  kBadArea = 215,
  kBadPlace = 216,
  kBadTrait = 217,
  kBadRate = 218,
  kEmptyList = 219,
  kConflictingKeys = 220,
  kWrongRowLength = 221,
  kBadHeader = 222,
  kTooMany = 223,
  kBadRatio = 224,
  kReservedCode = 225,
  kBadRange = 226,
  kBadCoordinate = 227,
  kBadUnit = 228,
  kBadFileName = 229,
  kBadTime = 230,
  kBadDays = 231,
  kBadSeriesValue = 232,

  // 3xx: values that are well formed but do not agree within one document.
  kUnknownZone = 301,
  kUnknownZoneList = 302,
  kUnknownService = 303,
  kUnknownSurcharge = 304,
  kUnknownExtra = 305,
  kUnknownPackaging = 306,
  kUnknownChargeCode = 307,
  kDuplicateCode = 308,
  kNotRising = 309,
  kOverlappingAreas = 310,
  kUnreachablePrice = 311,
  kRingOfReplaces = 312,
  kDatesReversed = 313,
  kBasePercentage = 314,
  kPercentageInGroup = 315,
  kBillableInMeasure = 316,
  kContradiction = 317,
  kMissingDays = 318,
  kSidesReversed = 319,
  kTestNotOfSeller = 330,
  kPercentageOfNothing = 331,
  kReductionInGroup = 332,
  kNotOfConsignment = 333,
  kUnknownAreas = 341,
  kWhereMeetsNothing = 342,
  kUnknownSeries = 345,
  kUnknownColumn = 346,
  // Warnings of that family.
  kHeavierIsCheaper = 351,
  kFartherIsCheaper = 352,
  kUnusedRule = 353,
  kPercentageOfLaterLine = 354,
  kUnreachableChart = 355,
  kUnusedPackaging = 356,
  kNeverOffered = 357,
  kNoMode = 358,
  kLostZeros = 371,
  kUnusedAreas = 372,
  kSeriesGap = 381,
  kSeriesJump = 382,
  kSeriesLateStart = 383,
  kUnusedSeries = 384,
  kValueOverdue = 385,
  kNoValueOnDate = 386,
  kSmallPercents = 387,

  // 4xx: documents that do not agree with each other.
  kSameStart = 401,
  kUnknownCarrier = 402,
  kUnknownServiceOfCarrier = 403,
  kUnknownChargeOfCarrier = 404,
  kUnknownIssuedPackaging = 405,
  kPackagingCodeTwice = 406,
  kShelfCurrencies = 407,
  kUnknownNameOfCarrier = 408,
  kPointTwice = 409,
  kTwoSellers = 420,
  kUnknownNameOfSeller = 421,
  // Warnings of that family.
  kForeignShelfCurrency = 451,
  kNoGazetteer = 452,
  kNotATable = 453,
  kForeignSellerCurrency = 460,

  // 5xx: files.
  kNoFile = 501,
  kUnreadable = 502,
  kTooLarge = 503,
  kNothingToRead = 504,
  // 505 was memory that ran out.

  // 6xx: printed grids.
  kNoGrid = 600,
  kNoGridHeader = 601,
  kSeveralGrids = 602,
  kDecimalSign = 603,
  kWhichAreWeights = 604,
  kGridUnit = 605,
  kGridBound = 606,
  kGridNotRising = 607,
  kGridCell = 608,
  kTwoCurrencies = 609,
  kGridRowLength = 610,
  kGridColumns = 611,
  // Doubts of that family.
  kPricesLeftOut = 650,
  kCheaperThanLeft = 651,
  kCheaperThanAbove = 652,
  kUnlikeStep = 653,
  kMissingRow = 654,
  kUnlikeDecimals = 655,
  kNoUnitKnown = 656,
  kGapInRanges = 657,
  kTitleOfBounds = 658,
  kMoreDoubts = 699,

  // How many findings were left out.
  kMoreFindings = 599,
};

}  // namespace tarewise::inline TW_VERSIONED::load

#endif  // TAREWISE_LIB_DOCUMENTS_CODES_H_
