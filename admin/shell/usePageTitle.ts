import { useEffect } from 'react'

/** The browser's title begins with the thing: "Lot 44, maize - Kinu". */
export const usePageTitle = (title: string, mill = 'Kinu'): void => {
  useEffect(() => {
    document.title = `${title} - ${mill}`
    return () => {
      document.title = mill
    }
  }, [title, mill])
}
