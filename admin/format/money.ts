import { formatNumber, JOIN } from './numbers'

/** The mill's currency; a mill setting, KES until the session says otherwise. */
export const DEFAULT_CURRENCY = 'KES'

/** Prices in whole shillings: "KES 11,040". */
export const formatPrice = (amount: string | number, currency = DEFAULT_CURRENCY): string => `${currency}${JOIN}${formatNumber(amount, 0)}`

/** Accounts, statements and prices per kg: always two decimals, "KES 1,200.00". */
export const formatAccount = (amount: string | number, currency = DEFAULT_CURRENCY): string =>
  `${currency}${JOIN}${formatNumber(amount, 2)}`
