import { useCallback, useRef } from 'react'
import { newKey } from './http'

/** The key of the entry that this form makes: the same for every repeat, a new one after `renew` (the entry was taken). */
export const useFormKey = (): { readonly current: () => string; readonly renew: () => void } => {
  const key = useRef('')
  const current = useCallback(() => (key.current ||= newKey()), [])
  const renew = useCallback(() => {
    key.current = newKey()
  }, [])
  return { current, renew }
}
