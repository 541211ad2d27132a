/** The materials as they are typed: every number as text, in the chosen units. */

import type { MaterialsBody } from "../actions/plan";
import type { Materials, Stocked } from "../domain/planting";
import { measureFrom, measureTyped } from "../i18n/measures";
import { numberOrNull, shown } from "./use-plan";

export interface StockLine {
  name: string;
  in_shed: string;
  keep: string;
  price: string;
}

export type Typed =
  | "amount"
  | "unit"
  | "moist_kg"
  | "bag_price"
  | "bags_in_shed"
  | "settling"
  | "mix_kg_l"
  | "feed_name"
  | "percent_n"
  | "months"
  | "label_g_l"
  | "share"
  | "feed_in_shed"
  | "feed_price"
  | "vehicle_name"
  | "payload_kg"
  | "room_l"
  | "tray_plants"
  | "tray_kg"
  | "tray_room"
  | "reserve"
  | "currency";

export interface MaterialsForm {
  typed: Record<Typed, string>;
  brings_water: boolean;
  plants: StockLine[];
  parts: StockLine[];
}

const percent = (share: number) => String(Math.round(share * 1000) / 10);
const share = (typed: string) => Math.round(Number(typed) * 10) / 1000;
const lineOf = (one: Stocked): StockLine => ({
  name: one.name,
  in_shed: String(one.in_shed),
  keep: String(one.keep),
  price: shown(one.price),
});

/** The form; plants of the schemes that nobody priced yet have a line waiting. */
export function formOf(was: Materials, grown: string[]): MaterialsForm {
  const listed = new Set(was.plants.map((one) => one.name.toLowerCase()));
  const missing = [...new Set(grown)].filter((name) => !listed.has(name.toLowerCase())).sort();
  return {
    typed: {
      amount: String(was.bag.amount),
      unit: was.bag.unit,
      moist_kg: measureTyped("weight", was.bag.moist_kg),
      bag_price: shown(was.bag.price),
      bags_in_shed: String(was.bags_in_shed),
      settling: percent(was.settling),
      mix_kg_l: String(was.mix_kg_l),
      feed_name: was.feed.name,
      percent_n: shown(was.feed.percent_n),
      months: shown(was.feed.months),
      label_g_l: shown(was.feed.label_g_l),
      share: percent(was.feed.share),
      feed_in_shed: measureTyped("weight", was.feed.in_shed_kg),
      feed_price: measureTyped("price", was.feed.price_kg),
      vehicle_name: was.vehicle.name,
      payload_kg: measureTyped("weight", was.vehicle.payload_kg),
      room_l: measureTyped("room", was.vehicle.room_l),
      tray_plants: String(was.trays.plants),
      tray_kg: measureTyped("weight", was.trays.kg),
      tray_room: measureTyped("room", was.trays.room_l),
      reserve: percent(was.reserve),
      currency: was.currency,
    },
    brings_water: was.vehicle.brings_water,
    plants: [
      ...was.plants.map(lineOf),
      ...missing.map((name) => ({ name, in_shed: "0", keep: "0", price: "" })),
    ],
    parts: was.parts.map(lineOf),
  };
}

function stockFrom(lines: StockLine[]): MaterialsBody["plants"] {
  return lines
    .filter((line) => line.name.trim())
    .map((line) => ({
      name: line.name.trim(),
      in_shed: Number(line.in_shed),
      keep: Number(line.keep),
      price: numberOrNull(line.price),
    }));
}

/** The form as the server takes it. What is no number stays one the server refuses by name. */
export function materialsFrom({ typed, ...form }: MaterialsForm, was: Materials): MaterialsBody {
  return {
    bag: {
      amount: Number(typed.amount),
      unit: typed.unit as "L",
      moist_kg: measureFrom("weight", typed.moist_kg, was.bag.moist_kg),
      price: numberOrNull(typed.bag_price),
    },
    bags_in_shed: Number(typed.bags_in_shed),
    settling: share(typed.settling),
    reserve: share(typed.reserve),
    mix_kg_l: Number(typed.mix_kg_l),
    feed: {
      name: typed.feed_name.trim(),
      percent_n: numberOrNull(typed.percent_n),
      months: numberOrNull(typed.months),
      label_g_l: numberOrNull(typed.label_g_l),
      share: share(typed.share),
      in_shed_kg: measureFrom("weight", typed.feed_in_shed, was.feed.in_shed_kg) ?? 0,
      price_kg: measureFrom("price", typed.feed_price, was.feed.price_kg),
    },
    vehicle: {
      name: typed.vehicle_name.trim(),
      payload_kg: measureFrom("weight", typed.payload_kg, was.vehicle.payload_kg),
      room_l: measureFrom("room", typed.room_l, was.vehicle.room_l),
      brings_water: form.brings_water,
    },
    trays: {
      plants: Number(typed.tray_plants),
      kg: measureFrom("weight", typed.tray_kg, was.trays.kg) ?? 0,
      room_l: measureFrom("room", typed.tray_room, was.trays.room_l) ?? 0,
    },
    plants: stockFrom(form.plants),
    parts: stockFrom(form.parts),
    currency: typed.currency.trim(),
  };
}
