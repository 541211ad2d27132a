/** Names for the shapes the server sends: aliases of the generated schema, and nothing of our own. */

import type { components } from "../api/schema";

type Shapes = components["schemas"];

export type PlanterCard = Shapes["PlanterCard"];
export type PlanterState = Shapes["PlanterState"];
export type FlagCard = Shapes["FlagCard"];
export type FlagDecision = Shapes["FlagDecision"];
export type Visit = Shapes["Visit"];
export type ListCard = Shapes["ListCard"];
export type ListStep = Shapes["ListStep"];
export type TopUp = Shapes["TopUpMark"];
/** What the server believes of a planter's water. A card kept from an older server has none. */
export type WaterCard = Shapes["Water"];
export type Establishment = Shapes["Establishment"];
export type StandingFeed = Shapes["StandingFeed"];
export type Dose = Shapes["Dose"];
export type FeedQuestion = Shapes["FeedQuestion"];
export type FeedAnswer = Shapes["FeedAnswer"];
export type Town = Shapes["Town"];
export type Night = Shapes["Night"];
export type OwnRecord = Shapes["OwnRecord"];
export type Me = Shapes["Me"];
export type Person = Shapes["PersonName"];
export type PublicTag = Shapes["PublicTag"];
export type Register = Shapes["Register"];
export type RegisterPlanter = Shapes["RegisterPlanter"];
export type RegisterSite = Shapes["RegisterSite"];
export type RegisterPerson = Shapes["RegisterPerson"];
export type RegisterSettings = Shapes["RegisterSettings"];
export type RegisterPhone = Shapes["RegisterPhone"];
export type RegisterChange = Shapes["RegisterChange"];
export type RegisterInvite = Shapes["RegisterInvite"];
export type Invite = Shapes["Invite"];
export type ImportReport = Shapes["ImportReport"];
export type WeatherDay = Shapes["WeatherDayAnswer"];
export type Weather = Shapes["WeatherAnswer"];
/** The site's own freeze dates: chances at one threshold, all of them, the record they rest on. */
export type FreezeChance = Shapes["FreezeChance"];
export type FreezeOdds = Shapes["FreezeOdds"];
export type FreezeRecord = Shapes["FreezeRecord"];
/** What was measured around a planter, and what was found. */
export type Siting = Shapes["Siting"];
export type SitingThing = Shapes["Thing"];
/** A person's round of a day, its stops, and where the tank is filled. */
export type RoundCard = Shapes["RoundCard"];
export type CardStop = Shapes["CardStop"];
export type Tap = Shapes["Tap"];
/** Where something stands, with the metres in a degree there; a picture of the place, and its fit. */
export type Place = Shapes["Place"];
export type SitePlan = Shapes["SitePlan"];
export type Fit = Shapes["PictureFit"];
export type KnownPoint = Shapes["KnownPoint"];
export type Named = Shapes["Named"];
export type HeldItem = Shapes["HeldItem"];
/** What the review needs beside the cards: held records, phones to ask after, one's last look. */
export type ReviewDesk = Shapes["ReviewDesk"];
export type PhoneToAsk = Shapes["PhoneToAsk"];
export type SeenFlag = Shapes["SeenFlag"];
export type Looked = Shapes["Looked"];

export type Level = Exclude<Visit["level"], null>;
export type Urgency = FlagCard["urgency"];
export type PlugState = PlanterState["plug"]["state"];
export type ListName = ListCard["list"];

/** An error as the server words it (RFC 9457); status 0 when there was no answer at all. */
export type Problem = Shapes["Problem"];
