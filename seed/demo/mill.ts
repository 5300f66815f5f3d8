import { z } from 'zod'
import { hashPassword } from '#features/access/password'
import type { Actor } from '#platform/actor'
import { command } from '#platform/command'
import type { Deps } from '#platform/deps'
import { execute } from '#platform/execute'
import { STAFF } from './people.js'
import { COCCIDIOSTAT_PREMIX } from './formulas.js'
import { REPLACEMENT_PRICES } from './store.js'

const Empty = z.strictObject({})
const FOUNDED = new Date('2019-03-04T06:00:00.000Z')
export const DEMO_DOMAIN = 'mlimakijani.example'

const foundMill = command({
  roles: 'public',
  input: Empty,
  output: Empty,
  async run({ tx, newId, record }) {
    await tx.mill.create({
      data: {
        name: 'Mlima Kijani Poultry Cooperative',
        district: 'Mlima Kijani hills',
        phone: '+254700000001',
        // The acts of the European Union are the ones whose texts were read; a mill chooses its own country's when it has them.
        jurisdiction: 'EU',
        bagKg: '50',
        makingChargePerKg: '3.2000',
        sheetLanguage: 'sw',
      },
    })
    await tx.mixer.createMany({
      data: [
        {
          id: newId(),
          number: 1,
          name: 'Mixer 1',
          maxLoadKg: '500',
          minLoadKg: '50',
          floorScaleStepG: 200,
          tableScaleStepG: 1,
          tableScaleMaxKg: '15',
          mixMinutes: 4,
        },
        {
          id: newId(),
          number: 2,
          name: 'Mixer 2',
          maxLoadKg: '250',
          minLoadKg: '25',
          floorScaleStepG: 100,
          tableScaleStepG: 1,
          tableScaleMaxKg: '15',
          mixMinutes: 12,
        },
      ],
    })
    record('mill.founded', 'mill', '1', { demo: true })
    return {}
  },
})

/** A bought medicine that the published tables do not have; invented. At half a kilogram a tonne no credit is taken for its carrier. */
const addMedicatedPremix = command({
  roles: 'public',
  input: Empty,
  output: Empty,
  async run({ tx, record }) {
    await tx.ingredient.create({
      data: {
        id: COCCIDIOSTAT_PREMIX,
        nameEn: 'Salinomycin premix, 12 %',
        nameSw: 'Premiksi ya salinomycin, 12 %',
        category: 'premix',
        pictogram: 'pill',
        shelfLifeDays: 540,
        qualityRisk: 'medicine: read the label',
      },
    })
    const generic = await tx.ingredientValue.findMany({ where: { ingredientId: 'premix_generic' } })
    await tx.ingredientValue.createMany({
      data: generic.map(({ nutrient, unit }) => ({
        ingredientId: COCCIDIOSTAT_PREMIX,
        nutrient,
        unit,
        value: 0,
        knownBy: 'structural-zero',
        source: 'demo',
        note: 'no credit is taken for the carrier of a premix used at half a kilogram a tonne',
      })),
    })
    record('ingredient.added', 'ingredient', COCCIDIOSTAT_PREMIX, {})
    return {}
  },
})

const askPrices = command({
  roles: 'public',
  input: z.strictObject({ on: z.iso.date() }),
  output: Empty,
  async run({ tx, record }, { on }) {
    for (const [id, pricePerKg] of Object.entries({ ...REPLACEMENT_PRICES, [COCCIDIOSTAT_PREMIX]: '1450.00' })) {
      await tx.ingredient.update({
        where: { id },
        data: { replacementPricePerKg: pricePerKg, replacementPriceOn: new Date(`${on}T00:00:00.000Z`) },
      })
      record('ingredient.priced', 'ingredient', id, { pricePerKg, on })
    }
    return {}
  },
})

type Login = {
  readonly login: string
  readonly name: string
  readonly role: Actor['role']
  readonly phone: string
  readonly language: 'en' | 'sw'
  readonly memberId?: string
}

/** Gives people their sign-in: e-mail and phone, all with the demo's one password. */
export const addLogins = (logins: readonly Login[]) =>
  command({
    roles: 'public',
    input: z.strictObject({ passwordHashes: z.array(z.string()) }),
    output: z.array(z.uuid()),
    async run({ tx, now, newId, record }, { passwordHashes }) {
      const ids: string[] = []
      for (const [index, { login, memberId, ...person }] of logins.entries()) {
        const id = newId()
        await tx.appUser.create({
          data: {
            ...person,
            id,
            email: `${login}@${DEMO_DOMAIN}`,
            memberId: memberId ?? null,
            passwordHash: passwordHashes[index] ?? '',
            createdAt: now,
          },
        })
        record('person.added', 'app-user', id, { role: person.role })
        ids.push(id)
      }
      return ids
    },
  })

export const makeLogins = async (deps: Deps, logins: readonly Login[], password: string): Promise<Actor[]> => {
  const passwordHashes = await Promise.all(logins.map(() => hashPassword(password)))
  const { value = [] } = await execute({ ...deps, clock: () => FOUNDED }, addLogins(logins), { actor: null, input: { passwordHashes } })
  return logins.map(({ role, name, language, memberId }, index) => ({
    userId: value[index] ?? '',
    role,
    name,
    language,
    memberId: memberId ?? null,
  }))
}

/** The mill with its mixers, prices and staff, before its first delivery. */
export const foundDemoMill = async (deps: Deps, password: string, pricesOn: string): Promise<ReadonlyMap<string, Actor>> => {
  const then = { ...deps, clock: () => FOUNDED }
  await execute(then, foundMill, { actor: null, input: {} })
  await execute(then, addMedicatedPremix, { actor: null, input: {} })
  await execute(then, askPrices, { actor: null, input: { on: pricesOn } })
  const actors = await makeLogins(deps, STAFF, password)
  return new Map(actors.map((actor, index) => [STAFF[index]?.login ?? '', actor]))
}
