import { z } from 'zod'

export const LOT_STATUSES = ['on-hold', 'released', 'rejected', 'used-up'] as const
export const LotStatus = z.enum(LOT_STATUSES).meta({ id: 'LotStatus' })
