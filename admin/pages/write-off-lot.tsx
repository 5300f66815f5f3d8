import { LotChange } from './lot-change'

const WriteOffLot = () => <LotChange kind="writeOff" />

export default WriteOffLot
