import { useState } from 'react'
import { useMemberSession } from './session'

/** What is typed stays on this device, for this person, until it is sent or they sign out: a session may end in the middle. */
const PREFIX = 'kinu.draft.'

type Plain = Readonly<Record<string, string | number | boolean>>

const read = (place: string): Readonly<Record<string, unknown>> => {
  try {
    const stored: unknown = JSON.parse(sessionStorage.getItem(place) ?? '{}')
    return typeof stored === 'object' && stored !== null ? { ...stored } : {}
  } catch {
    return {}
  }
}

const write = (place: string, value: Plain): void => {
  try {
    sessionStorage.setItem(place, JSON.stringify(value))
  } catch {
    // no storage in this browser: the draft lasts as long as the page
  }
}

/** Only what the form of today has, of the same kind: an older page may have left other fields. */
const fitting = <T extends Plain>(initial: T, stored: Readonly<Record<string, unknown>>): T => ({
  ...initial,
  ...Object.fromEntries(Object.entries(stored).filter(([name, value]) => typeof value === typeof initial[name])),
})

export type Draft<T> = {
  readonly value: T
  readonly change: (part: Partial<T>) => void
  /** After it was sent: the next form begins empty. */
  readonly drop: () => void
}

/** The fields of one form; `initial` is called once. */
export const useDraft = <T extends Plain>(name: string, initial: () => T): Draft<T> => {
  const { user } = useMemberSession()
  const place = `${PREFIX}${user?.id ?? ''}.${name}`
  const [value, setValue] = useState(() => fitting(initial(), read(place)))
  return {
    value,
    change(part) {
      const next = { ...value, ...part }
      write(place, next)
      setValue(next)
    },
    drop() {
      try {
        sessionStorage.removeItem(place)
      } catch {
        // see write()
      }
    },
  }
}

export const forgetDrafts = (): void => {
  try {
    for (const place of Object.keys(sessionStorage)) if (place.startsWith(PREFIX)) sessionStorage.removeItem(place)
  } catch {
    // see write()
  }
}
