import { describe, expect, test } from 'vitest'
import { Problem } from '../../../admin/providers/http'
import { FailureBar } from '../../../admin/ui/Failure'
import { NumberField } from '../../../admin/ui/Field'
import { KnownBy } from '../../../admin/ui/KnownBy'
import { OfflineBar } from '../../../admin/ui/OfflineBar'
import { Stepper } from '../../../admin/ui/Pickers'
import { LimitCosts } from '../../../admin/ui/pictures/LimitCosts'
import { MixBars } from '../../../admin/ui/pictures/MixBars'
import { NutrientRails } from '../../../admin/ui/pictures/NutrientRails'
import { RefusalCard, RefusalList } from '../../../admin/ui/RefusalCard'
import { StateWord } from '../../../admin/ui/StateWord'
import { COSTS, FINDINGS, KNOWN, MIX } from '../../../admin/gallery/samples'
import { readable, rendered } from './rendered.js'

const nothing = () => undefined

describe('how a value is known', () => {
  test.each([
    ['measured', '8.4 % ± 0.3 measured 2 Aug, our laboratory'],
    ['worked-out', '0.21 % ± 0.02 worked out from protein'],
    ['supplier', '8.2 % ± 0.4 from 9 earlier lots'],
    ['book', '8.1 % ± 0.6 book'],
    ['memory', '0.095 % from memory, not checked'],
    ['below-detection', 'under 2 ug/kg measured 2 Aug; counts as 2 ug/kg'],
    ['structural-zero', '0.0 % contains none by its nature'],
  ])('%s', (knownBy, words) => {
    const value = KNOWN.find((known) => known.knownBy === knownBy)
    expect(value && readable(<KnownBy value={value} />)).toBe(words)
  })

  test('an unknown is a word, never a digit, a dash or a blank', () => {
    expect(readable(<KnownBy value={{ knownBy: 'unknown', unit: '%' }} />)).toBe('unknown')
    expect(readable(<KnownBy value={{ knownBy: 'unknown', unit: '%' }} />, 'sw')).toBe('haijulikani')
    // a value that says measured but brings no figure is unknown too
    expect(readable(<KnownBy value={{ knownBy: 'measured', unit: '%' }} />)).toBe('unknown')
  })

  test('members see about how much, never the spread', () => {
    expect(readable(<KnownBy value={{ knownBy: 'book', figure: '17', unit: '%', spread: '0.6' }} audience="member" />)).toBe('about 17 %')
  })
})

describe('states', () => {
  test('agree with the thing they are said of', () => {
    expect(readable(<StateWord thing="lot" state="released" />, 'sw')).toBe('umeruhusiwa')
    expect(readable(<StateWord thing="order" state="cancelled" />, 'sw')).toBe('imefutwa')
    expect(readable(<StateWord thing="version" state="approved" />, 'sw')).toBe('limeidhinishwa')
    expect(readable(<StateWord thing="entry" state="sent" time="14:05" />)).toBe('sent 14:05')
  })
})

describe('refusals', () => {
  const block = FINDINGS.find(({ verdict }) => verdict === 'block')

  test('say what, reason, source and what now, in this order', () => {
    const words = block ? readable(<RefusalCard {...block} next="Reject lot 44" />) : ''
    const order = [
      'Not allowed',
      'Release of lot 44, maize',
      'Aflatoxin 26 ug/kg',
      'Rule: AF-EA-01',
      'source text read',
      'East Africa',
      'Reject lot 44',
    ]
    const places = order.map((part) => words.indexOf(part))
    expect(places.every((place) => place >= 0)).toBe(true)
    expect(places).toEqual([...places].sort((a, b) => a - b))
  })

  test('put blocks before warnings, whatever order they come in', () => {
    const words = readable(<RefusalList findings={FINDINGS} />)
    expect(words.indexOf('Not allowed')).toBeLessThan(words.indexOf('Warning'))
    expect(words.indexOf('Warning')).toBeLessThan(words.indexOf('Pass'))
  })

  test('say that an unread rule is from memory, and whether it only warns', () => {
    const rule = { id: 'CA-02', source: 'TEXTBOOK', read: false, appliesTo: 'pullets' }
    expect(readable(<RefusalCard verdict="block" what="x" reasons={[]} rule={rule} />)).toContain('good practice, from memory')
    expect(readable(<RefusalCard verdict="warn" what="x" reasons={[]} rule={{ ...rule, country: 'Kenya' }} />)).toContain(
      'from memory: it warns only',
    )
  })

  test('keep who let a warning pass', () => {
    expect(readable(<RefusalList findings={FINDINGS} />)).toContain('Let pass by Amani, Tue 4 Aug 2026, 08:10: used this week')
  })
})

describe('failures and forms', () => {
  test('a failure says that nothing was saved, why, and the request number', () => {
    const words = readable(<FailureBar problem={new Problem('stale-revision', 409, 'req-7', [], null)} onTryAgain={nothing} />)
    expect(words).toBe('This was not saved Somebody changed this a moment ago Request number req-7 Try again')
  })

  test('a figure typed with a comma is asked about, never guessed', () => {
    expect(readable(<NumberField label="Net weight" unit="kg" value="1,5" onChange={nothing} />)).toContain('"1,5": 1.5 or 15?')
    expect(readable(<NumberField label="Net weight" unit="kg" value="1,250" onChange={nothing} />)).toContain('1,250 kg')
  })

  test('an error stands beside its field and is announced with it', () => {
    const html = rendered(<NumberField id="kg" label="Net weight" unit="kg" value="-1" onChange={nothing} error="Write a figure above 0" />)
    expect(html).toContain('aria-invalid="true"')
    expect(html).toContain('aria-describedby="kg-error"')
    expect(html).toContain('inputMode="decimal"')
  })

  test('bags are read back in kilograms', () => {
    expect(readable(<Stepper label="x" bags={4} bagKg={50} onChange={nothing} />)).toContain('200 kg = 4 bags of 50 kg')
    expect(readable(<Stepper label="x" bags={1} bagKg={50} onChange={nothing} />, 'sw')).toContain('kilo 50 = mfuko 1 wa kilo 50')
  })

  test('without a network one bar says how much waits', () => {
    expect(readable(<OfflineBar offline waiting={2} asOf="06:40" />)).toBe('No network. 2 entries wait on this phone. Figures as of 06:40')
    expect(readable(<OfflineBar offline={false} waiting={2} asOf="06:40" />)).toBe('')
  })
})

describe('pictures', () => {
  test('a mix is told as a sentence and as a table, small parts in grams', () => {
    const words = readable(<MixBars parts={MIX} totalKg="500" totalCost="KES 24,105" />)
    expect(words).toContain('500 kg: yellow maize 304.750 kg of lot 41, 43')
    expect(words).toContain('In the pre-blend: premix 1,250 g, methionine 500 g')
    expect(rendered(<MixBars parts={MIX} totalKg="500" totalCost="KES 24,105" />).match(/<tr>/g)).toHaveLength(MIX.length + 1)
  })

  test('a mix beside what is being changed is low: lots and costs stand in its table alone', () => {
    const drawn = (compact: boolean): string =>
      rendered(<MixBars parts={MIX} totalKg="500" totalCost="KES 24,105" sentence="s" compact={compact} />)
    const figures = (html: string): string => (html.match(/k-mix-figures">(.*?)<\/div>/g) ?? []).join(' ')
    expect(figures(drawn(false))).toContain('lot 41')
    expect(figures(drawn(true))).not.toContain('lot 41')
    expect(drawn(true).split('<table')[1]).toContain('41, 43')
  })

  test('a nutrient at its only limit stands at the notch, not at the other end of its own scale', () => {
    const rail = {
      key: 'Met',
      name: 'methionine',
      mean: 0.3801,
      min: 0.38,
      minText: '0.38 %',
      state: 'at-limit' as const,
      value: { knownBy: 'book' as const, figure: '0.38', unit: '%' },
    }
    const at = Number(/k-rail-dot" cx="([\d.]+)%/.exec(rendered(<NutrientRails rails={[rail]} sentence="s" compact />))?.[1])
    expect(at).toBeLessThan(7)
  })

  test('beside the limits a rail is one line, and what is not seen is told all the same', () => {
    const rail = {
      key: 'CP',
      name: 'protein',
      mean: 17,
      min: 16,
      minText: '16 %',
      state: 'inside' as const,
      value: { knownBy: 'book' as const, figure: '17', unit: '%' },
    }
    const html = rendered(<NutrientRails rails={[rail]} sentence="s" compact />)
    expect(html).toContain('<span class="k-hidden">at least 16 %</span>')
    expect(rendered(<NutrientRails rails={[rail]} sentence="s" />)).toContain('<span>at least 16 %</span>')
  })

  test('limits stand dearest first, each as one sensible step', () => {
    const words = readable(<LimitCosts costs={[...COSTS].reverse()} sentence="s" />)
    expect(words).toContain('from 16.5 % to 16.4 % saves KES 64 a tonne; holds until 16.2 %')
    expect(words.indexOf('KES 64')).toBeLessThan(words.indexOf('KES 12'))
  })
})
