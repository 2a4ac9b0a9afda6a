# SPDX-License-Identifier: Apache-2.0
"""What is seen of a track is of one finish batch: reserved so, picked so, refused otherwise with what to do."""
import small
from small import harness, refused

PART = "LK-BASE-WH"  # "batch_match" in the demonstration's catalogue


def receive(stores, batch, quantity, place="A1"):
    return stores.ask("stock.receive", {"lines": [{"part": PART, "bin": place, "batch": batch, "quantity": quantity}]})


def line_of(stores, kit):
    return next(line for line in stores.ask("kit.show", {"kits": [kit]})["kits"][0]["lines"] if line["part"] == PART)


def walk_of(stores, kit):
    return [(stop["batch"], stop["bin"], stop["quantity"]) for stop in stores.ask("kit.show", {"kits": [kit]})["walk"]
            if stop["part"] == PART]


def check_one_batch_is_set_aside(stores, kit, wanted):
    """Of two batches that are each too small nothing is mixed; the better one waits for more of its kind."""
    receive(stores, "N1", wanted - 1)
    receive(stores, "N2", wanted - 2, "B1")
    assert walk_of(stores, kit) == [("N1", "A1", wanted - 1)], walk_of(stores, kit)
    assert line_of(stores, kit)["short"] == 1
    receive(stores, "N2", 1, "C1")
    assert walk_of(stores, kit) == [("N1", "A1", wanted - 1)], "as good is no reason to change"
    handed = receive(stores, "N2", 1, "C1")["handed_on"]
    assert handed["orders"] and not [line for line in handed["short"] if line["part"] == PART], handed
    assert walk_of(stores, kit) == [("N2", "B1", wanted - 2), ("N2", "C1", 2)], "over two bins, of one batch"


def check_picks(stores, kit, wanted):
    """Another batch is refused, before and after the first pick; what was begun can be put back."""
    refused(lambda: stores.ask("kit.pick", {"kit": kit, "part": PART, "bin": "A1", "batch": "N1", "quantity": wanted}), "not-enough")
    stores.ask("kit.pick", {"kit": kit, "part": PART, "bin": "B1"})
    error = refused(lambda: stores.ask("kit.pick", {"kit": kit, "part": PART, "bin": "A1", "quantity": 1}), "wrong-batch")
    assert "batch N2" in error.message and "put-back" in error.message, error.message
    refused(lambda: stores.ask("kit.pick", {"kit": kit, "part": PART, "bin": "C1", "quantity": 3}), "wrong-quantity")
    refused(lambda: stores.ask("kit.pick", {"kit": kit, "part": "KT-BASE-BZ", "bin": "C1"}), "wrong-part")
    stores.ask("kit.put-back", {"kit": kit, "part": PART})
    receive(stores, "N1", 1)
    stores.ask("kit.pick", {"kit": kit, "part": PART, "bin": "A1", "batch": "N1", "quantity": 1})
    assert walk_of(stores, kit) == [("N1", "A1", wanted - 1)], "what was begun is gone on with"
    stores.ask("kit.pick", {"kit": kit, "part": PART, "bin": "A1"})
    assert line_of(stores, kit)["picked"] == wanted


def order(number):
    """A1001's first window alone."""
    made = small.order("A1001")
    made.update(order=number, windows=made["windows"][:1])
    return made


def check_small_batches_first(workshop, stores, wanted):
    """A kit takes the smallest batch that is enough for it."""
    receive(stores, "S1", 50)
    workshop.client("desk").ask("order.take", order("B1"))
    kit = stores.ask("kit.list", {"order": "B1"})["kits"][0]["kit"]
    assert walk_of(stores, kit) == [("N2", "B1", wanted - 2), ("N2", "C1", 2)], walk_of(stores, kit)


def main():
    with harness.Workshop() as workshop:
        workshop.start()
        small.fill(workshop, stations=())
        stores = workshop.client("stores")
        workshop.client("desk").ask("order.take", order("A1"))
        kit = stores.ask("kit.list", {"order": "A1"})["kits"][0]["kit"]
        wanted = line_of(stores, kit)["wanted"]
        assert wanted >= 4
        check_one_batch_is_set_aside(stores, kit, wanted)
        check_picks(stores, kit, wanted)
        check_small_batches_first(workshop, stores, wanted)
        small.assert_clean(workshop.client("manager"))
        workshop.stop()


main()
