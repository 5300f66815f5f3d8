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

/** One bar: no network, how many entries wait on this device, how old the figures are. */
export const OfflineBar = ({ waiting, asOf, offline }: { waiting: number; asOf: string; offline: boolean }) => {
  const { t } = useSharedWords()
  if (!offline) return null
  return (
    <p className="k-offline" role="status">
      <Icon name="no-network" size={20} />
      <span>{waiting > 0 ? t('ui.offline', { smart_count: waiting, time: asOf }) : t('ui.offlineEmpty', { time: asOf })}</span>
    </p>
  )
}
