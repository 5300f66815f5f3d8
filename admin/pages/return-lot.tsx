import { LotChange } from './lot-change'

const ReturnLot = () => <LotChange kind="return" />

export default ReturnLot
