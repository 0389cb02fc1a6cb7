#include "guard.h"

using namespace tarewise::capi;  // NOLINT(google-build-using-namespace): definitions of the C interface only.

tw_status tw_finding_init(tw_finding* out, uint32_t struct_size) {
  const tw_finding initial = TW_FINDING_INIT;
  return InitStruct(out, struct_size, initial);
}

tw_status tw_source_init(tw_source* out, uint32_t struct_size) {
  const tw_source initial = TW_SOURCE_INIT;
  return InitStruct(out, struct_size, initial);
}

tw_status tw_grid_options_init(tw_grid_options* out, uint32_t struct_size) {
  const tw_grid_options initial = TW_GRID_OPTIONS_INIT;
  return InitStruct(out, struct_size, initial);
}

tw_status tw_grid_note_init(tw_grid_note* out, uint32_t struct_size) {
  const tw_grid_note initial = TW_GRID_NOTE_INIT;
  return InitStruct(out, struct_size, initial);
}

tw_status tw_carrier_week_init(tw_carrier_week* out, uint32_t struct_size) {
  const tw_carrier_week initial = TW_CARRIER_WEEK_INIT;
  return InitStruct(out, struct_size, initial);
}

tw_status tw_shipment_init(tw_shipment* out, uint32_t struct_size) {
  const tw_shipment initial = TW_SHIPMENT_INIT;
  return InitStruct(out, struct_size, initial);
}

tw_status tw_service_init(tw_service* out, uint32_t struct_size) {
  const tw_service initial = TW_SERVICE_INIT;
  return InitStruct(out, struct_size, initial);
}

tw_status tw_packaging_init(tw_packaging* out, uint32_t struct_size) {
  const tw_packaging initial = TW_PACKAGING_INIT;
  return InitStruct(out, struct_size, initial);
}

tw_status tw_item_init(tw_item* out, uint32_t struct_size) {
  const tw_item initial = TW_ITEM_INIT;
  return InitStruct(out, struct_size, initial);
}

tw_status tw_arranged_unit_init(tw_arranged_unit* out, uint32_t struct_size) {
  const tw_arranged_unit initial = TW_ARRANGED_UNIT_INIT;
  return InitStruct(out, struct_size, initial);
}

tw_status tw_parcel_init(tw_parcel* out, uint32_t struct_size) {
  const tw_parcel initial = TW_PARCEL_INIT;
  return InitStruct(out, struct_size, initial);
}

tw_status tw_request_init(tw_request* out, uint32_t struct_size) {
  const tw_request initial = TW_REQUEST_INIT;
  return InitStruct(out, struct_size, initial);
}

tw_status tw_offer_init(tw_offer* out, uint32_t struct_size) {
  const tw_offer initial = TW_OFFER_INIT;
  return InitStruct(out, struct_size, initial);
}

tw_status tw_charge_init(tw_charge* out, uint32_t struct_size) {
  const tw_charge initial = TW_CHARGE_INIT;
  return InitStruct(out, struct_size, initial);
}

tw_status tw_handicap_init(tw_handicap* out, uint32_t struct_size) {
  const tw_handicap initial = TW_HANDICAP_INIT;
  return InitStruct(out, struct_size, initial);
}

tw_status tw_overdue_init(tw_overdue* out, uint32_t struct_size) {
  const tw_overdue initial = TW_OVERDUE_INIT;
  return InitStruct(out, struct_size, initial);
}

tw_status tw_saver_init(tw_saver* out, uint32_t struct_size) {
  const tw_saver initial = TW_SAVER_INIT;
  return InitStruct(out, struct_size, initial);
}

tw_status tw_refusal_init(tw_refusal* out, uint32_t struct_size) {
  const tw_refusal initial = TW_REFUSAL_INIT;
  return InitStruct(out, struct_size, initial);
}

tw_status tw_reason_init(tw_reason* out, uint32_t struct_size) {
  const tw_reason initial = TW_REASON_INIT;
  return InitStruct(out, struct_size, initial);
}

tw_status tw_caution_init(tw_caution* out, uint32_t struct_size) {
  const tw_caution initial = TW_CAUTION_INIT;
  return InitStruct(out, struct_size, initial);
}

tw_status tw_change_init(tw_change* out, uint32_t struct_size) {
  const tw_change initial = TW_CHANGE_INIT;
  return InitStruct(out, struct_size, initial);
}

tw_status tw_arrange_options_init(tw_arrange_options* out, uint32_t struct_size) {
  const tw_arrange_options initial = TW_ARRANGE_OPTIONS_INIT;
  return InitStruct(out, struct_size, initial);
}

tw_status tw_fit_init(tw_fit* out, uint32_t struct_size) {
  const tw_fit initial = TW_FIT_INIT;
  return InitStruct(out, struct_size, initial);
}

tw_status tw_goods_init(tw_goods* out, uint32_t struct_size) {
  const tw_goods initial = TW_GOODS_INIT;
  return InitStruct(out, struct_size, initial);
}

tw_status tw_lane_init(tw_lane* out, uint32_t struct_size) {
  const tw_lane initial = TW_LANE_INIT;
  return InitStruct(out, struct_size, initial);
}

tw_status tw_results_init(tw_results* out, uint32_t struct_size) {
  const tw_results initial = TW_RESULTS_INIT;
  return InitStruct(out, struct_size, initial);
}

tw_status tw_reprice_options_init(tw_reprice_options* out, uint32_t struct_size) {
  const tw_reprice_options initial = TW_REPRICE_OPTIONS_INIT;
  return InitStruct(out, struct_size, initial);
}

tw_status tw_parting_init(tw_parting* out, uint32_t struct_size) {
  const tw_parting initial = TW_PARTING_INIT;
  return InitStruct(out, struct_size, initial);
}

tw_status tw_item_list_init(tw_item_list* out, uint32_t struct_size) {
  const tw_item_list initial = TW_ITEM_LIST_INIT;
  return InitStruct(out, struct_size, initial);
}

tw_status tw_plans_facts_init(tw_plans_facts* out, uint32_t struct_size) {
  const tw_plans_facts initial = TW_PLANS_FACTS_INIT;
  return InitStruct(out, struct_size, initial);
}

tw_status tw_plan_init(tw_plan* out, uint32_t struct_size) {
  const tw_plan initial = TW_PLAN_INIT;
  return InitStruct(out, struct_size, initial);
}

tw_status tw_planned_parcel_init(tw_planned_parcel* out, uint32_t struct_size) {
  const tw_planned_parcel initial = TW_PLANNED_PARCEL_INIT;
  return InitStruct(out, struct_size, initial);
}

tw_status tw_planned_goods_init(tw_planned_goods* out, uint32_t struct_size) {
  const tw_planned_goods initial = TW_PLANNED_GOODS_INIT;
  return InitStruct(out, struct_size, initial);
}

tw_status tw_once_charge_init(tw_once_charge* out, uint32_t struct_size) {
  const tw_once_charge initial = TW_ONCE_CHARGE_INIT;
  return InitStruct(out, struct_size, initial);
}

tw_status tw_obstacle_init(tw_obstacle* out, uint32_t struct_size) {
  const tw_obstacle initial = TW_OBSTACLE_INIT;
  return InitStruct(out, struct_size, initial);
}

tw_status tw_json_options_init(tw_json_options* out, uint32_t struct_size) {
  const tw_json_options initial = TW_JSON_OPTIONS_INIT;
  return InitStruct(out, struct_size, initial);
}

tw_status tw_tariff_init(tw_tariff* out, uint32_t struct_size) {
  const tw_tariff initial = TW_TARIFF_INIT;
  return InitStruct(out, struct_size, initial);
}

tw_status tw_zone_init(tw_zone* out, uint32_t struct_size) {
  const tw_zone initial = TW_ZONE_INIT;
  return InitStruct(out, struct_size, initial);
}

tw_status tw_example_init(tw_example* out, uint32_t struct_size) {
  const tw_example initial = TW_EXAMPLE_INIT;
  return InitStruct(out, struct_size, initial);
}

tw_status tw_place_init(tw_place* out, uint32_t struct_size) {
  const tw_place initial = TW_PLACE_INIT;
  return InitStruct(out, struct_size, initial);
}

tw_status tw_fee_tier_init(tw_fee_tier* out, uint32_t struct_size) {
  const tw_fee_tier initial = TW_FEE_TIER_INIT;
  return InitStruct(out, struct_size, initial);
}

tw_status tw_fee_init(tw_fee* out, uint32_t struct_size) {
  const tw_fee initial = TW_FEE_INIT;
  return InitStruct(out, struct_size, initial);
}

tw_status tw_economics_setup_init(tw_economics_setup* out, uint32_t struct_size) {
  const tw_economics_setup initial = TW_ECONOMICS_SETUP_INIT;
  return InitStruct(out, struct_size, initial);
}

tw_status tw_place_total_init(tw_place_total* out, uint32_t struct_size) {
  const tw_place_total initial = TW_PLACE_TOTAL_INIT;
  return InitStruct(out, struct_size, initial);
}

tw_status tw_profit_init(tw_profit* out, uint32_t struct_size) {
  const tw_profit initial = TW_PROFIT_INIT;
  return InitStruct(out, struct_size, initial);
}

tw_status tw_sale_line_init(tw_sale_line* out, uint32_t struct_size) {
  const tw_sale_line initial = TW_SALE_LINE_INIT;
  return InitStruct(out, struct_size, initial);
}
tw_status tw_sale_columns_init(tw_sale_columns* out, uint32_t struct_size) {
  const tw_sale_columns initial = TW_SALE_COLUMNS_INIT;
  return InitStruct(out, struct_size, initial);
}

tw_status tw_cell_change_init(tw_cell_change* out, uint32_t struct_size) {
  const tw_cell_change initial = TW_CELL_CHANGE_INIT;
  return InitStruct(out, struct_size, initial);
}

tw_status tw_catalogue_facts_init(tw_catalogue_facts* out, uint32_t struct_size) {
  const tw_catalogue_facts initial = TW_CATALOGUE_FACTS_INIT;
  return InitStruct(out, struct_size, initial);
}

tw_status tw_row_loss_init(tw_row_loss* out, uint32_t struct_size) {
  const tw_row_loss initial = TW_ROW_LOSS_INIT;
  return InitStruct(out, struct_size, initial);
}
