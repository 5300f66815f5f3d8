import type { z } from 'zod'
import { VersionView, type LimitsBody } from '#contract/formulas'
import { BatchDetailView } from '#contract/production'
import { OrderDetailView, OrderView } from '#contract/orders'
import type { Agent, Reply } from '../support/agent.js'
import { dayFromNow } from '../support/builders/days.js'
import { PASSWORD } from '../support/users.js'

export type Version = z.infer<typeof VersionView>
export type Load = z.infer<typeof BatchDetailView>

export const done = (reply: Reply): Reply => {
  if (reply.status >= 300) throw new Error(`${reply.status} ${reply.text}`)
  return reply
}

/** The vitamins at half a per cent, which no requirement set asks for by name. */
export const withPremix = (limits: LimitsBody): LimitsBody => ({
  ...limits,
  ingredients: [
    ...limits.ingredients.filter(({ ingredientId }) => ingredientId !== 'premix_generic'),
    { ingredientId: 'premix_generic', minPct: 0.5, maxPct: 0.5 },
  ],
})

export type Feed = { readonly nameEn: string; readonly stage: string; readonly medication?: Version['medication'] }

/** Drafted by the nutritionist from the recommended requirements, approved by the manager. */
export const approvedFeed = async (
  { nutritionist, manager }: { readonly nutritionist: Agent; readonly manager: Agent },
  { nameEn, stage, medication = null }: Feed,
): Promise<Version> => {
  const body = { nameEn, nameSw: nameEn, stage, requirementSource: 'REC' }
  const draft = done(await nutritionist.post('/formulas', body)).as(VersionView)
  const change = { limits: withPremix(draft.limits), medication, note: '' }
  const changed = done(await nutritionist.patch(`/formula-versions/${draft.id}`, change, { revision: draft.revision })).as(VersionView)
  const submitted = done(await nutritionist.post(`/formula-versions/${draft.id}/submit`, {}, { revision: changed.revision })).as(
    VersionView,
  )
  const options = { revision: submitted.revision }
  return done(await manager.post(`/formula-versions/${draft.id}/approve`, { password: PASSWORD }, options)).as(VersionView)
}

export type Wish = { readonly flockId: string; readonly formulaVersionId: string; readonly kg: string }
export const order = (who: Agent, wish: Wish): Promise<Reply> => who.post('/orders', { ...wish, dueOn: dayFromNow(2) })

/** Ordered by the counter and planned by the manager; gives the loads. */
export const plannedLoads = async ({ clerk, manager }: { readonly clerk: Agent; readonly manager: Agent }, wish: Wish): Promise<Load[]> => {
  const placed = done(await order(clerk, wish)).as(OrderView)
  const planned = done(await manager.post(`/orders/${placed.id}/plan`, {}, { revision: placed.revision })).as(OrderDetailView)
  const loads: Load[] = []
  for (const { id } of planned.batches) loads.push((await manager.get(`/batches/${id}`)).as(BatchDetailView))
  return loads
}

/** Every row weighed exactly as the sheet asks. */
export const weightsOf = ({ lines }: Load) => lines.map(({ part, position, targetKg }) => ({ part, position, actualKg: targetKg }))

export const start = (mixer: Agent, { id }: { readonly id: string }, flushed = false): Promise<Reply> =>
  mixer.post(`/batches/${id}/start`, { flushed }, { revision: 1 })

export const mix = async (mixer: Agent, load: Load, flushed = false): Promise<Load> => {
  const started = done(await start(mixer, load, flushed)).as(BatchDetailView)
  const body = { weights: weightsOf(load), madeKg: load.loadKg }
  return done(await mixer.post(`/batches/${load.id}/finish`, body, { revision: started.revision })).as(BatchDetailView)
}
