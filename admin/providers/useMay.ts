import { usePermissions } from 'react-admin'
import type { Role } from '#contract/access'
import { canAccess } from './canAccess'

/** May the person who is signed in be offered this? */
export const useMay = (): ((action: string, resource: string) => boolean) => {
  const { permissions } = usePermissions<Role | null>()
  return (action, resource) => permissions !== null && permissions !== undefined && canAccess(permissions, action, resource)
}
