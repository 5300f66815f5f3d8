import { expect, test } from 'vitest'
import { goToField } from '../../../admin/ui/Failure'

type Part = { tag: string; open: boolean; parentElement: Part | null; closest: (tag: string) => Part | null }

/** As much of a page as is asked for: parts within parts. */
function part(tag: string, parentElement: Part | null): Part {
  const made: Part = {
    tag,
    open: false,
    parentElement,
    closest: (wanted) => (made.tag === wanted ? made : (parentElement?.closest(wanted) ?? null)),
  }
  return made
}

test('the way to the first fault opens every part that is folded around it, before the field takes the focus', () => {
  const outer = part('details', part('div', null))
  const inner = part('details', part('div', outer))
  const beside = part('details', part('div', null))
  const openWhenFocused: boolean[] = []
  const field = { ...part('input', part('div', inner)), focus: () => openWhenFocused.push(outer.open, inner.open) }
  goToField(field as unknown as HTMLElement)
  expect(openWhenFocused).toEqual([true, true])
  expect(beside.open).toBe(false)
  expect(() => goToField(null)).not.toThrow()
})
