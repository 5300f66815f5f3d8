// Figures of a run and how they are printed.
export const range = (count) => Array.from({ length: count }, (_, i) => i)

/** Nearest rank; `share` from 0 to 1. */
export function quantileOf(values, share) {
  const sorted = values.toSorted((a, b) => a - b)
  return sorted[Math.min(sorted.length - 1, Math.max(0, Math.ceil(share * sorted.length) - 1))]
}
export const medianOf = (values) => quantileOf(values, 0.5)
export const percent = (share) => (100 * share).toFixed(0)

export function printTable(head, rows) {
  const widths = head.map((title, i) => Math.max(title.length, ...rows.map((row) => row[i].length)))
  for (const row of [head, ...rows])
    console.log(row.map((cell, i) => (i === 0 ? cell.padEnd(widths[i]) : cell.padStart(widths[i] + 2))).join(''))
}
