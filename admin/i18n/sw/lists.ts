import type { SameKeys } from '../translate'
import type { lists as english } from '../en/lists'

export const lists: SameKeys<typeof english> = {
  list: {
    lookFor: 'Tafuta',
    all: 'zote',
    shown: '%{from} hadi %{to} kati ya %{total}',
    previous: 'Zilizotangulia',
    next: 'Zinazofuata',
    sortedUp: '%{column}, kuanzia chini kwenda juu',
    sortedDown: '%{column}, kuanzia juu kwenda chini',
    nothing: 'Hakuna kinacholingana.',
    filters: 'Onyesha tu',
  },
}
