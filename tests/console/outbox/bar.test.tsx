import { describe, expect, test } from 'vitest'
import { OfflineBar } from '../../../admin/ui/OfflineBar'
import { readable, rendered } from '../components/rendered'

const bar = { waiting: 0, asOf: '06:40', offline: false }

describe('the one bar', () => {
  test('is not there while nothing waits and the network is', () => {
    expect(rendered(<OfflineBar {...bar} href="#/outbox" />)).toBe('')
  })

  test('tells what is on its way, what was refused and how many belong to others, each as a sentence', () => {
    expect(readable(<OfflineBar {...bar} sending={1} refused={2} others={1} href="#/outbox" />)).toBe(
      '1 entry is on its way. 2 entries were not accepted. 1 entry of somebody else waits on this phone until they sign in Look',
    )
    expect(readable(<OfflineBar {...bar} sending={2} refused={1} others={3} href="#/outbox" />, 'sw')).toBe(
      'Maingizo 2 yanatumwa. Ingizo 1 halikukubaliwa. Maingizo 3 ya watu wengine yanasubiri kwenye simu hii hadi waingie Angalia',
    )
  })

  test('asks to sign in while nobody is, and leads nowhere: whose entries they are is not told', () => {
    const html = rendered(<OfflineBar {...bar} others={2} nobody href="#/outbox" />)
    expect(html).toContain('2 entries wait on this phone. Sign in to send them')
    expect(html).not.toContain('href')
  })

  test("leads to the entries when there are some of one's own", () => {
    expect(rendered(<OfflineBar {...bar} offline waiting={2} href="#/outbox" />)).toContain('href="#/outbox"')
    expect(rendered(<OfflineBar {...bar} offline waiting={2} />)).not.toContain('href')
    expect(rendered(<OfflineBar {...bar} offline href="#/outbox" />)).not.toContain('href')
  })
})
