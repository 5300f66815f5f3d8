/** Words of every list: looking for something, pages, how it is sorted. */
export const lists = {
  list: {
    lookFor: 'Look for',
    all: 'all',
    shown: '%{from} to %{to} of %{total}',
    previous: 'Before',
    next: 'Further',
    sortedUp: '%{column}, sorted upwards',
    sortedDown: '%{column}, sorted downwards',
    nothing: 'Nothing here matches.',
    filters: 'Show only',
  },
} as const
