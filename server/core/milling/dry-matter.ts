/** Amount as-fed that holds an amount of dry matter; `dryMatterFraction` is above 0 and at most 1. */
export const asFedAmount = (dryMatterAmount: number, dryMatterFraction: number): number => dryMatterAmount / dryMatterFraction

/** A content on the dry matter basis from its as-fed percentage. */
export const dryMatterPct = (asFedPct: number, dryMatterFraction: number): number => asFedPct / dryMatterFraction

/** A content as-fed from its percentage on the dry matter basis. */
export const asFedPct = (onDryMatterPct: number, dryMatterFraction: number): number => onDryMatterPct * dryMatterFraction

/** Kilograms that are left when grain is dried (or wetted) from one moisture to another: its dry matter stays the same. */
export const kgAfterDrying = (kg: number, fromMoisturePct: number, toMoisturePct: number): number =>
  (kg * (100 - fromMoisturePct)) / (100 - toMoisturePct)
