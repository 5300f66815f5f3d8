const UUID = /^[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}$/i

/** Which rows of a list are sent. */
export const rowsOf = ({ page, perPage }: { readonly page: number; readonly perPage: number }): { skip: number; take: number } => ({
  skip: (page - 1) * perPage,
  take: perPage,
})

/** The filter of `?id=a,b,c`; what is no id finds nothing. */
export const onlyIds = (ids: string | undefined): { id?: { in: string[] } } =>
  ids === undefined ? {} : { id: { in: ids.split(',').filter((id) => UUID.test(id)) } }

/** As `onlyIds`, for tables whose ids are words. */
export const onlyKeys = (keys: string | undefined): { id?: { in: string[] } } => (keys === undefined ? {} : { id: { in: keys.split(',') } })

/** As `onlyIds`, for tables whose ids are whole numbers. */
export const onlyNumbers = (ids: string | undefined): { id?: { in: number[] } } =>
  ids === undefined
    ? {}
    : {
        id: {
          in: ids
            .split(',')
            .filter((id) => /^\d{1,9}$/.test(id))
            .map(Number),
        },
      }

// Prisma hands the words to ILIKE as they are: what PostgreSQL would read as a pattern is written as itself.
const literal = (words: string): string => words.replace(/[\\%_]/g, (mark) => `\\${mark}`)

/** Holds these words, in capitals or not; `%` and `_` mean themselves. */
export const containing = (words: string) => ({ contains: literal(words), mode: 'insensitive' as const })

/** The number that somebody typed into the search field; undefined for words. */
export const numberIn = (words: string): number | undefined => (/^\d{1,9}$/.test(words) ? Number(words) : undefined)
