"""Bytes as plain words that can be read aloud and compared with a printed page. The list is ours."""

from __future__ import annotations

_LIST = """
acorn actor adder after agent alarm album alder amber angle ankle apple april apron arena arrow
aster attic autumn awake axle bacon badge baker bamboo banjo barley basket beacon beetle bench berry
birch bishop blanket bottle branch bread bridge bronze bucket butter bubble cabin cactus camel candle canoe
carbon carpet castle cedar cellar chalk cherry chimney circle clover cobalt coffee comet copper coral cotton
cradle cricket crystal cushion daisy dancer debate desert diamond dinner dolphin donkey dragon drawer drum duck
eagle early easel echo eight elbow elder elephant emerald engine evening fabric falcon farmer feather fennel
fern fiddle finger flag flute forest fountain fox frost funnel galaxy garden garlic gate ginger glacier
glove goat golden granite grape gravel guitar hammer harbour harp hazel heron hill honey horse hotel
igloo indigo iris island ivory jacket jasmine jelly jewel jungle kettle keyboard kitchen kite knot ladder
lagoon lantern lark lemon letter lilac linen lion lobster lotus lumber magnet maple marble market meadow
melon mint mirror monkey morning mountain museum napkin nectar needle nephew noble north nutmeg oak oasis
ocean olive onion orange orchid otter oven owl oxygen paddle palm paper parrot pasture peach pebble
pencil pepper piano pigeon pillow pine planet pocket pony poppy prairie pumpkin purple quarry quill quiver
rabbit radish rainbow raven ribbon river robin rocket rose ruby saddle saffron salmon sand scarf seven
shadow silver snow sofa spoon squirrel stone summer swan table teapot thistle thunder tiger timber tomato
tower trumpet tulip turtle umbrella valley velvet violin walnut water whistle willow window winter wolf zebra
"""
WORDS = tuple(_LIST.split())


def words_of(data: bytes) -> str:
    """A word a byte.

    >>> words_of(bytes([0, 255]))
    'acorn zebra'
    """
    return " ".join(WORDS[byte] for byte in data)
