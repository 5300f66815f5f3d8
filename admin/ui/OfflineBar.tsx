import { useSyncExternalStore } from 'react'
import { useSharedWords } from '../i18n/words'
import { Icon } from './Shape'

const subscribe = (listener: () => void): (() => void) => {
  addEventListener('online', listener)
  addEventListener('offline', listener)
  return () => {
    removeEventListener('online', listener)
    removeEventListener('offline', listener)
  }
}

export const useOnline = (): boolean =>
  useSyncExternalStore(
    subscribe,
    () => navigator.onLine,
    () => true,
  )

type BarProps = {
  /** One's own entries that are not sent yet. */
  readonly waiting: number
  readonly asOf: string
  readonly offline: boolean
  /** One's own entries that wait while the network is there: they are on their way. */
  readonly sending?: number
  readonly refused?: number
  /** Entries of other people on a shared phone: their number, nothing else. */
  readonly others?: number
  /** Nobody is signed in: entries wait for their person. */
  readonly nobody?: boolean
  /** The page that shows them. */
  readonly href?: string
}

/** One bar: no network, how many entries wait on this device and how they stand, how old the figures are. */
export const OfflineBar = ({ waiting, asOf, offline, sending = 0, refused = 0, others = 0, nobody = false, href }: BarProps) => {
  const { t } = useSharedWords()
  const told = [
    offline && (waiting > 0 ? t('ui.offline', { smart_count: waiting, time: asOf }) : t('ui.offlineEmpty', { time: asOf })),
    !offline && sending > 0 && t('outbox.bar.sending', { smart_count: sending }),
    refused > 0 && t('outbox.bar.refused', { smart_count: refused }),
    others > 0 && t(nobody ? 'outbox.bar.nobody' : 'outbox.bar.others', { smart_count: others }),
  ].filter((words) => words !== false)
  if (told.length === 0) return null
  return (
    <div className="k-offline" role="status">
      <Icon name={offline ? 'no-network' : refused > 0 ? 'problem' : 'waiting'} size={20} />
      <span>{told.map(asSentence).join(' ')}</span>
      {href && waiting + sending + refused > 0 && <a href={href}>{t('outbox.bar.show')}</a>}
    </div>
  )
}

/** Sentences that follow each other each end with a full stop; the last stands as it is written. */
const asSentence = (words: string, at: number, all: readonly string[]): string =>
  at < all.length - 1 && !words.endsWith('.') ? `${words}.` : words
