import { beforeAll, describe, expect, it } from 'vitest'
import { LotDetailView, LotPapersView, LotPhotoView, LotView, MAX_PHOTO_BYTES, MOST_PHOTOS } from '#contract/lots'
import { balanceOf, makeLot } from '../../support/builders/lots.js'
import { prepareMill } from '../../support/builders/mill.js'
import { makeSupplier } from '../../support/builders/suppliers.js'
import { openMill } from '../../support/mill.js'
import { jpegOf } from '../../support/small-jpeg.js'

const mill = await openMill()
let supplierId = ''
beforeAll(async () => {
  await prepareMill(mill.db)
  supplierId = (await makeSupplier(mill.db)).id
})
const RECEIVED = '2026-11-20T07:30:00+03:00'
const delivery = (facts: object = {}) => ({
  ingredientId: 'maize_white',
  supplierId,
  receivedAt: RECEIVED,
  bags: 60,
  netKg: '5397',
  pricePerKg: '42.40',
  intakeMoisturePct: 13.1,
  ...facts,
})
const weighing = { grossKg: '12480', tareKg: '7020', emptyBagG: 1050 }
const store = () => mill.as('store-keeper')
const receive = async (facts: object = {}) => (await (await store()).post('/lots', delivery(facts))).as(LotView)
const counts = async () => ({
  lots: await mill.db.lot.count(),
  photos: await mill.db.lotPhoto.count(),
  moves: await mill.db.stockTransfer.count(),
})

describe('weights of a delivery', () => {
  it('are kept as the scale and the delivery note had them', async () => {
    const lot = await receive({ weighing, noteKg: '5450' })
    expect(lot).toMatchObject({
      netKg: '5397.000',
      noteKg: '5450.000',
      weighing: { grossKg: '12480.000', tareKg: '7020.000', emptyBagG: 1050 },
    })
  })

  it.each([
    ['tare above gross', { weighing: { grossKg: '7020', tareKg: '12480' } }, 'weighing.tareKg', 'tare-above-gross'],
    ['tare as much as gross', { weighing: { grossKg: '7020', tareKg: '7020' } }, 'weighing.tareKg', 'tare-above-gross'],
    [
      'empty bags heavier than the goods',
      { weighing: { grossKg: '170', tareKg: '0', emptyBagG: 3000 } },
      'weighing.emptyBagG',
      'bags-above-net',
    ],
    ['an empty bag and no count', { bags: null, weighing }, 'bags', 'empty'],
    ['a net weight that the scale did not show', { netKg: '5400', weighing }, 'netKg', 'not-as-weighed'],
    ['a note of another delivery', { noteKg: '539.7' }, 'noteKg', 'not-this-delivery'],
    ['0 bags', { bags: 0 }, 'bags', 'too_small'],
    ['a bag of nothing', { weighing: { ...weighing, emptyBagG: 0 } }, 'weighing.emptyBagG', 'too_small'],
    [
      'a moisture of 0 % under terms of moisture',
      { agreedMoisturePct: 13.5, intakeMoisturePct: 0 },
      'intakeMoisturePct',
      'moisture-needed',
    ],
    ['no moisture under terms of moisture', { agreedMoisturePct: 13.5, intakeMoisturePct: null }, 'intakeMoisturePct', 'moisture-needed'],
    ['a moisture of 100 %', { intakeMoisturePct: 100 }, 'intakeMoisturePct', 'too_big'],
    ['an agreed moisture of 0 %', { agreedMoisturePct: 0 }, 'agreedMoisturePct', 'too_small'],
    ['an agreed moisture of 100 %', { agreedMoisturePct: 100 }, 'agreedMoisturePct', 'too_big'],
    ['a later date than maize keeps', { expiresOn: '2027-05-20' }, 'expiresOn', 'later-than-keeps'],
    [
      'wet maize for months, printed or not',
      { intakeMoisturePct: 14.2, expiresOn: '2026-12-31', expiryOnLabel: true },
      'expiresOn',
      'later-than-keeps',
    ],
    [
      'a point looked at twice',
      {
        looks: [
          { point: 'smell', good: true },
          { point: 'smell', good: false },
        ],
      },
      'looks.1.point',
      'repeated',
    ],
    ['a point that is none', { looks: [{ point: 'taste', good: true }] }, 'looks.0.point', 'invalid_value'],
  ])('refuses %s, says which field, and writes nothing', async (_what, facts, path, code) => {
    const before = await counts()
    const problem = (await (await store()).post('/lots', delivery(facts))).problem()
    expect(problem).toMatchObject({ code: 'bad-input', status: 400 })
    expect(problem.errors?.map((error) => [error.path, error.code])).toContainEqual([path, code])
    expect(await counts()).toEqual(before)
  })
})

describe('payment', () => {
  it('at an agreed moisture is for the kilograms that the same dry matter would weigh', async () => {
    // D. Karki, South Dakota State University Extension 2019: from 25 to 15.5 % moisture the shrink is 11.24 %.
    const lot = await receive({ netKg: '10000', bags: null, pricePerKg: '40', agreedMoisturePct: 15.5, intakeMoisturePct: 25 })
    expect(lot.payment).toEqual({
      agreedMoisturePct: 15.5,
      pricePerKg: '40.0000',
      paidKg: '8875.740',
      money: '355029.60',
      moneyAsDelivered: '400000.00',
    })
    // The books and mixes know what a kilogram as delivered cost: 40 x 75 / 84.5.
    expect(lot.pricePerKg).toBe('35.5030')
  })

  it('as delivered is for the kilograms weighed', async () => {
    expect((await receive()).payment).toMatchObject({ agreedMoisturePct: null, paidKg: '5397.000', money: '228832.80' })
  })
})

describe('how long a lot keeps', () => {
  it.each([
    ['by the reference (STO-06)', {}, '2027-05-19', 'STO-06'],
    ['a week when maize is too wet for it', { intakeMoisturePct: 14.2 }, '2026-11-27', 'wet-grain'],
    ['less, when the keeper says so', { expiresOn: '2026-12-24' }, '2026-12-24', 'keeper'],
    ['longer, when it is printed on the label', { expiresOn: '2027-11-01', expiryOnLabel: true }, '2027-11-01', 'label'],
    ['as proposed, which is no date of the keeper', { expiresOn: '2027-05-19' }, '2027-05-19', 'STO-06'],
    ['nobody knows how long salt does', { ingredientId: 'salt' }, null, ''],
  ])('%s', async (_what, facts, expiresOn, expiryRule) => {
    expect(await receive(facts)).toMatchObject({ expiresOn, expiryRule })
  })
})

describe('the look-and-smell check', () => {
  it('holds a lot that failed a point until the manager lets it pass with a reason', async () => {
    const looks = [
      { point: 'smell', good: true, note: '' },
      { point: 'insects', good: false, note: 'weevils in two bags' },
    ]
    const lot = await receive({ ingredientId: 'salt', intakeMoisturePct: null, looks })
    const laboratory = await mill.as('laboratory')
    const detail = (await laboratory.get(`/lots/${lot.id}`)).as(LotDetailView)
    expect(detail.looks).toEqual(looks)
    expect(detail.mayRelease).toBe(false)
    expect(detail.findings.filter(({ severity }) => severity === 'warn').map(({ what }) => what)).toContainEqual({
      code: 'look-failed-insects',
      facts: { lot: String(lot.number), note: 'weevils in two bags' },
    })
    const refused = await laboratory.post(`/lots/${lot.id}/release`, { reason: 'treated' }, { revision: lot.revision })
    expect(refused.problem().code).toBe('not-allowed')
    const manager = await mill.as('manager')
    const silent = await manager.post(`/lots/${lot.id}/release`, {}, { revision: lot.revision })
    expect(silent.problem().errors?.[0]?.code).toBe('reason-needed')
    expect((await manager.post(`/lots/${lot.id}/release`, { reason: 'Treated, seen again' }, { revision: lot.revision })).status).toBe(200)
  })
})

describe('how to sample a lot', () => {
  it('stands on its page with the rows it comes from', async () => {
    const lot = await receive()
    const { samplePlan } = (await (await store()).get(`/lots/${lot.id}`)).as(LotDetailView)
    // SAM-02: the root of 20 x 5.397 t is 10.4, so 11; SAM-04: 3 of 60 bags; SAM-07: 2.5 times both, rounded up.
    expect(samplePlan).toMatchObject({ increments: 28, bagsToOpen: 8, forMould: true, finalSamples: 2 })
    expect(samplePlan.rules).toEqual(['SAM-02', 'SAM-04', 'SAM-07', 'SAM-11', 'SAM-12'])
  })
})

const partsOf = (bytes: Buffer): string[] => bytes.toString('base64').match(/.{1,100000}/g) ?? []
const photo = (bytes: Buffer, facts: object = {}) => ({ parts: partsOf(bytes), takenAt: RECEIVED, ...facts })

describe('photos of a lot', () => {
  it('are kept byte for byte, and shown to staff as a picture and nothing else', async () => {
    const { id, number } = await makeLot(mill.db)
    const bytes = jpegOf(MAX_PHOTO_BYTES)
    const kept = (await (await store()).post(`/lots/${id}/photos`, photo(bytes, { shows: 'wet-bags' }))).as(LotPhotoView)
    expect(kept).toMatchObject({ lotId: id, shows: 'wet-bags', bytes: MAX_PHOTO_BYTES })
    const reply = await (await mill.as('nutritionist')).get(`/lot-photos/${kept.id}`)
    expect(reply.headers['content-type']).toBe('image/jpeg')
    expect(reply.headers['x-content-type-options']).toBe('nosniff')
    expect(reply.headers['content-disposition']).toContain(`lot-${number}-`)
    expect(Number(reply.headers['content-length'])).toBe(MAX_PHOTO_BYTES)
    expect((await (await mill.as('member')).get(`/lot-photos/${kept.id}`)).status).toBe(403)
    expect((await (await store()).get(`/lots/${id}`)).as(LotDetailView).photos).toEqual([kept])
  })

  it.each([
    ['one that is too large', photo(jpegOf(MAX_PHOTO_BYTES + 1)), 'parts', 'too_big'],
    ['a page that calls itself one', photo(Buffer.from('<html><script>alert(1)</script></html>')), 'parts', 'not-a-picture'],
    ['a PNG', photo(Buffer.from('89504e470d0a1a0a0000000d49484452', 'hex')), 'parts', 'not-a-picture'],
    ['a JPEG that was cut off', photo(jpegOf(2000).subarray(0, 1990)), 'parts', 'not-a-picture'],
    [
      'a file that only begins and ends like one',
      photo(Buffer.concat([jpegOf(0).subarray(0, 4), Buffer.alloc(290_000, 7), jpegOf(0).subarray(-2)])),
      'parts',
      'not-a-picture',
    ],
    [
      'a page that hangs behind one',
      photo(Buffer.concat([jpegOf(0), Buffer.from('<html></html>'), jpegOf(0).subarray(-2)])),
      'parts',
      'not-a-picture',
    ],
    ['a moment that has not come', photo(jpegOf(0), { takenAt: '2099-01-01T00:00:00Z' }), 'takenAt', 'in-the-future'],
    ['the year 0', photo(jpegOf(0), { takenAt: '0000-01-01T00:00:00Z' }), 'takenAt', 'too-long-ago'],
    ['nothing', photo(Buffer.alloc(0)), 'parts', 'too_small'],
    ['what is no base64', { parts: ['%%%'], takenAt: RECEIVED }, 'parts.0', 'invalid_format'],
    ['a point that is none', photo(jpegOf(100), { shows: 'taste' }), 'shows', 'invalid_value'],
  ])('do not take %s', async (_what, body, path, code) => {
    const { id } = await makeLot(mill.db)
    const problem = (await (await store()).post(`/lots/${id}/photos`, body)).problem()
    expect(problem.errors?.map((error) => [error.path, error.code])).toContainEqual([path, code])
    expect(await mill.db.lotPhoto.count({ where: { lotId: id } })).toBe(0)
  })

  it('are added once under one key, and no more than a lot may have, from two phones at once', async () => {
    const { id } = await makeLot(mill.db)
    const agent = await store()
    const key = 'photo-key-0001'
    const [first, second] = [
      await agent.post(`/lots/${id}/photos`, photo(jpegOf(500)), { key }),
      await agent.post(`/lots/${id}/photos`, photo(jpegOf(500)), { key }),
    ]
    expect(second.text).toBe(first.text)
    const replies = await Promise.all(
      Array.from({ length: MOST_PHOTOS + 2 }, (_, i) => agent.post(`/lots/${id}/photos`, photo(jpegOf(600 + i)))),
    )
    expect(replies.filter(({ status }) => status === 201)).toHaveLength(MOST_PHOTOS - 1)
    expect(await mill.db.lotPhoto.count({ where: { lotId: id } })).toBe(MOST_PHOTOS)
    const refused = replies.find(({ status }) => status !== 201)
    expect(refused?.problem().errors?.[0]).toMatchObject({ code: 'too-many-photos', facts: { most: MOST_PHOTOS } })
  })

  it('cannot be changed or taken away, by the database itself', async () => {
    const { id } = await makeLot(mill.db)
    const { id: photoId } = (await (await store()).post(`/lots/${id}/photos`, photo(jpegOf(300)))).as(LotPhotoView)
    await expect(mill.db.lotPhoto.delete({ where: { id: photoId } })).rejects.toThrow(/permission denied/)
    await expect(mill.db.lotPhoto.update({ where: { id: photoId }, data: { shows: 'smell' } })).rejects.toThrow(/permission denied/)
  })
})

it('keeps no place and no maker of a photo, whoever sends it', async () => {
  const { id } = await makeLot(mill.db)
  const exif = Buffer.concat([Buffer.from([0xff, 0xe1, 0, 12]), Buffer.from('Exif GPS 1')])
  const sent = Buffer.concat([jpegOf(0).subarray(0, 2), exif, jpegOf(0).subarray(2)])
  const kept = (await (await store()).post(`/lots/${id}/photos`, photo(sent))).as(LotPhotoView)
  const reply = await (await store()).get(`/lot-photos/${kept.id}`)
  expect([kept.bytes, reply.bytes.equals(jpegOf(0))]).toEqual([jpegOf(0).length, true])
})

describe('a delivery that was typed wrongly', () => {
  const correct = async (lot: { id: string; revision: number }, facts: object, key?: string) =>
    (await store()).post(
      `/lots/${lot.id}/correct-receipt`,
      { ...delivery(facts), reason: 'typed wrongly' },
      { revision: lot.revision, ...(key ? { key } : {}) },
    )

  it('is entered again under its number; the wrong receipt stays in the ledger with its reversal', async () => {
    const lot = await receive({ netKg: '53970', bags: 60 })
    const corrected = (await correct(lot, { weighing, storagePlace: 'A4' })).as(LotView)
    expect(corrected).toMatchObject({
      id: lot.id,
      number: lot.number,
      netKg: '5397.000',
      onHandKg: '5397.000',
      storagePlace: 'A4',
      revision: 2,
    })
    expect(await balanceOf(mill.db, lot.id)).toMatchObject({ onHandKg: '5397.000' })
    const kinds = await mill.db.stockTransfer.findMany({ where: { entries: { some: { lotId: lot.id } } } })
    expect(kinds.map(({ kind }) => kind).toSorted()).toEqual(['receipt', 'receipt', 'reversal'])
    const again = (await correct(corrected, { netKg: '5400' })).as(LotView)
    expect(again).toMatchObject({ netKg: '5400.000', onHandKg: '5400.000', weighing: null })
    const audit = await mill.db.auditEntry.findFirstOrThrow({ where: { entityId: lot.id, action: 'lot.receipt-corrected' } })
    expect(audit.facts).toMatchObject({ wasNetKg: '53970.000', netKg: '5397.000', reason: 'typed wrongly' })
  })

  it('is corrected once by a double click, and not from an old page', async () => {
    const lot = await receive()
    const [first, second] = [await correct(lot, { netKg: '5000' }, 'correct-0001'), await correct(lot, { netKg: '5000' }, 'correct-0001')]
    expect(second.text).toBe(first.text)
    expect((await correct(lot, { netKg: '4000' })).problem().code).toBe('stale-revision')
    expect(await balanceOf(mill.db, lot.id)).toMatchObject({ onHandKg: '5000.000' })
  })

  it('stands when something rests on it: a result, a decision, a movement', async () => {
    const measured = await makeLot(mill.db, { status: 'on-hold', assays: { CP: 8.2 } })
    const released = await makeLot(mill.db)
    const moved = await receive()
    expect((await (await store()).post(`/lots/${moved.id}/return`, { kg: '100', reason: 'wet' })).status).toBeLessThan(300)
    const { revision } = await mill.db.lot.findUniqueOrThrow({ where: { id: moved.id } })
    for (const lot of [measured, released].map(({ id }) => ({ id, revision: 1 })).concat({ id: moved.id, revision }))
      expect((await correct(lot, { netKg: '900' })).problem().code).toBe('wrong-state')
  })

  it.each([['laboratory'], ['mixer-operator'], ['member']] as const)('is not for a %s to put right', async (role) => {
    const lot = await receive()
    const body = { ...delivery(), reason: 'no' }
    expect((await (await mill.as(role)).post(`/lots/${lot.id}/correct-receipt`, body, { revision: lot.revision })).status).toBe(403)
  })
})

describe('the papers of a lot', () => {
  it('say that a lot on hold may not be used, and stop saying so when it is released', async () => {
    const lot = await receive({ intakeMoisturePct: 14.2, looks: [{ point: 'smell', good: false, note: 'sour' }], storagePlace: 'A4' })
    const agent = await store()
    const papers = (await agent.get(`/lots/${lot.id}/papers`, { language: 'en' })).as(LotPapersView)
    expect(papers).toMatchObject({ lotNumber: lot.number, qr: `KINU LOT ${lot.number}`, ingredient: 'White maize' })
    expect(papers.card).toMatchObject({ state: 'On hold', stateShape: 'hold', bar: 'DO NOT USE until released' })
    expect(papers.card.warnings.join(' | ')).toContain('Moisture 14.2\u00a0%')
    expect(papers.card.warnings.join(' | ')).toContain('Smell is not right: sour')
    expect(papers.card.rows.map(({ value }) => value)).toEqual(expect.arrayContaining(['5,397.0\u00a0kg', 'A4', 'Fri 20 Nov 2026']))
    expect(papers.label.how).toContain('28 portions of about 143 g from 8 sacks')
    const { id } = await makeLot(mill.db)
    const released = (await agent.get(`/lots/${id}/papers`, { language: 'sw' })).as(LotPapersView)
    expect(released.card).toMatchObject({ state: 'Umeruhusiwa', stateShape: 'pass', bar: '' })
  })

  it('say under which terms a lot was released, in words, and until when it is held', async () => {
    const card = async (facts: object, language: 'en' | 'sw' = 'en') => {
      const { id } = await makeLot(mill.db)
      await mill.db.lot.update({ where: { id }, data: facts })
      return (await (await store()).get(`/lots/${id}/papers`, { language })).as(LotPapersView).card
    }
    const day = (text: string): Date => new Date(`${text}T00:00:00Z`)
    const limited = await card({ releasedFor: ['layer_late', 'broiler_grower_3_6wk'], retestOn: day('2099-12-04') })
    expect(limited).toMatchObject({ state: 'Released for some feeds only', bar: 'ONLY for the feeds named here' })
    expect(limited.warnings.slice(0, 2)).toEqual([
      'Only into the feed of: layers late in lay, broiler grower, weeks 3 to 6',
      'Test again by Fri 4 Dec 2099; do not use it after that day',
    ])
    const swahili = await card({ releasedFor: ['layer_late'] }, 'sw')
    expect([swahili.bar, swahili.warnings[0]]).toEqual([
      'KWA vyakula vilivyotajwa hapa TU',
      'Kwa chakula cha hawa tu: kuku wa mayai, mwisho wa kutaga',
    ])
    const due = await card({ retestOn: day('2026-01-05') })
    expect(due).toMatchObject({ stateShape: 'hold', bar: 'DO NOT USE until tested again' })
    const held = await card({ status: 'on-hold', holdUntil: day('2099-12-04'), statusReason: 'fumigated' })
    expect(held.warnings).toEqual(['On hold, not to be released before Fri 4 Dec 2099: fumigated'])
    // the terms of before mean nothing on a lot that is held
    const again = await card({ status: 'on-hold', releasedFor: ['layer_late'], retestOn: day('2099-12-04') })
    expect(again).toMatchObject({ state: 'On hold', warnings: [] })
  })

  it.each(['stack-card.pdf', 'sample-label.pdf'])('%s is a PDF of one page', async (name) => {
    const { id } = await makeLot(mill.db)
    const reply = await (await mill.as('laboratory')).get(`/lots/${id}/${name}`)
    expect(reply.status).toBe(200)
    expect(reply.headers['content-type']).toBe('application/pdf')
    expect((await (await mill.as('member')).get(`/lots/${id}/${name}`)).status).toBe(403)
  })
})
