import { MillError } from '#core/errors'

/** Reads the revision out of If-Match, quoted as an entity tag or bare; without it nobody knows what was changed. */
export const readRevision = (header: string | undefined): number => {
  if (header === undefined || header.trim() === '') throw new MillError('revision-missing')
  const digits = /^(?:W\/)?"?(\d{1,9})"?$/.exec(header.trim())?.[1]
  if (digits === undefined)
    throw new MillError('bad-input', {}, [{ path: 'If-Match', code: 'invalid_format', message: 'the revision, a whole number' }])
  return Number(digits)
}
